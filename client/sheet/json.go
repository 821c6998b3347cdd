package sheet

import (
	"bytes"
	"encoding/json"
	"io"
	"time"

	"turnrow/sync/units"
)

// JSON writes a document as one object: its facts, an array of rows for each
// table, and the cautions. Keys are snake_case with the unit at the end, always
// in pounds and acres; shares are fractions of one; days and times are ISO
// 8601; what is not known is null.
func JSON(w io.Writer, d *Document) error {
	var o object
	o.put("title", d.Title)
	o.put("farm", d.Farm)
	o.put("made", d.Made.Format(time.RFC3339))
	if d.Sign != "" {
		o.put("money_sign", d.Sign)
	}
	for _, f := range d.Facts {
		if f.key != "" {
			o.put(column{key: f.key, kind: f.kind}.program(units.US), plainValue(f.value))
		}
	}
	for _, t := range d.Tables {
		o.put(t.Name, t.objects())
	}
	o.put("cautions", d.Cautions)
	text, err := o.MarshalJSON()
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

// objects is a table's rows, each as an object.
func (t *Table) objects() []*object {
	rows := make([]*object, len(t.rows))
	for i, row := range t.rows {
		rows[i] = &object{}
		for n, c := range t.columns {
			rows[i].put(c.program(units.US), plainValue(row[n]))
		}
	}
	return rows
}

// plainValue is a value as JSON has it. What is kept in whole hundredths or
// thousandths comes out exactly.
func plainValue(v value) any {
	switch v := v.(type) {
	case nil, bool, string, int64:
		return v
	case Day:
		return v.String()
	case moment:
		return v.Format(time.RFC3339)
	case units.Money, units.Dial, units.Turns, units.Reading, units.Count:
		return json.Number(v.(interface{ String() string }).String())
	}
	x, ok := float(v, units.US)
	if !ok {
		return nil
	}
	return rounded(x)
}

// object is a JSON object whose keys keep their order.
type object struct {
	keys   []string
	values []any
}

func (o *object) put(key string, v any) {
	o.keys, o.values = append(o.keys, key), append(o.values, v)
}

// MarshalJSON writes the keys in the order in which they were put.
func (o *object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	for i, key := range o.keys {
		b.WriteByte(",{"[btoi(i == 0)])
		if err := enc.Encode(key); err != nil {
			return nil, err
		}
		b.Truncate(b.Len() - 1) // the encoder's newline
		b.WriteByte(':')
		if err := enc.Encode(o.values[i]); err != nil {
			return nil, err
		}
		b.Truncate(b.Len() - 1)
	}
	if len(o.keys) == 0 {
		b.WriteByte('{')
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
