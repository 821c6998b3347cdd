package main

import (
	"bytes"
	"encoding/json"
)

// explained is a result with the steps that led to it: its own keys, and
// explain beside them.
type explained struct {
	value any
	steps []string
}

// MarshalJSON puts explain after the value's own keys.
func (e explained) MarshalJSON() ([]byte, error) {
	return withKey(e.value, "explain", append([]string{}, e.steps...))
}

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
