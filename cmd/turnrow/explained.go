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
	object, err := json.Marshal(e.value)
	if err != nil || !bytes.HasSuffix(object, []byte("}")) {
		return object, err // a list has no sum behind it
	}
	steps, err := json.Marshal(append([]string{}, e.steps...))
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.Write(bytes.TrimSuffix(object, []byte("}")))
	if len(object) > len("{}") {
		b.WriteByte(',')
	}
	b.WriteString(`"explain":`)
	b.Write(steps)
	b.WriteByte('}')
	return b.Bytes(), nil
}
