package sheet_test

import (
	"bytes"
	"encoding/json"
	"testing"
)

func indented(t *testing.T, object []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := json.Indent(&b, object, "", " "); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
