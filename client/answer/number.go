package answer

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
)

// figures is how many significant figures an answer's numbers carry: more
// than any sum here is good to, and few enough that a rate typed as 30 lb/ac,
// kept in whole micrograms to the square metre, comes back as 30.
const figures = 6

// Number is a figure, printed with six significant ones, or as null where it is
// none. A pointer to one is null where the figure is not known.
type Number float64

// MarshalJSON writes the number, or null where it is none.
func (n Number) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	if err != nil {
		return nil, err
	}
	return json.Marshal(rounded)
}

// Some is a figure that is known.
func Some(x float64) *Number {
	n := Number(x)
	return &n
}

// Explained is a sum's answer with the steps that led to it, as --explain has
// them: the answer's own keys, and the key explain beside them.
type Explained struct {
	Value any
	Steps []string // of the sum, with units, to read one after another
}

// MarshalJSON puts explain after the value's own keys.
func (e Explained) MarshalJSON() ([]byte, error) {
	return withKey(e.Value, "explain", append([]string{}, e.Steps...))
}

// Doubted is a sum's answer with what is unlikely in what was given: the
// answer's own keys, and the key unlikely beside them.
type Doubted struct {
	Value    any
	Unlikely []Unlikely
}

// MarshalJSON puts unlikely after the value's own keys.
func (d Doubted) MarshalJSON() ([]byte, error) { return withKey(d.Value, "unlikely", d.Unlikely) }

// withKey is an object's JSON with one more key after its own.
func withKey(value any, key string, more any) ([]byte, error) {
	object, err := json.Marshal(value)
	if err != nil || !bytes.HasSuffix(object, []byte("}")) {
		return object, err // a list has no sum behind it
	}
	added, err := json.Marshal(more)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.Write(bytes.TrimSuffix(object, []byte("}")))
	if len(object) > len("{}") {
		b.WriteByte(',')
	}
	b.WriteString(`"` + key + `":`)
	b.Write(added)
	b.WriteByte('}')
	return b.Bytes(), nil
}
