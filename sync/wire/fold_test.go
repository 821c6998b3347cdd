package wire_test

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/entry"
	state "turnrow/sync/farm"
	"turnrow/sync/wire"
)

// A saved fold with more devices than a farm may have is refused before any is
// read.
func TestSavedFoldOfTooManyDevices(t *testing.T) {
	id := entry.FarmID{1}
	none := wire.SaveFold(state.New(id)) // ends with the number of devices
	for _, n := range []int{0, 1, entry.MaxDevices, entry.MaxDevices + 1} {
		b := protowire.AppendVarint(bytes.Clone(none[:len(none)-1]), uint64(n))
		b = append(b, make([]byte, 16*n)...)
		if _, err := wire.OpenFold(id, bytes.NewReader(b)); errors.Is(err, wire.ErrFold) != (n > entry.MaxDevices) {
			t.Errorf("%d devices: error %v", n, err)
		}
	}
}

// What comes after an error of reading is not taken for the next chunk.
func TestSavedFoldThatCannotBeReadOn(t *testing.T) {
	id := entry.FarmID{1}
	failed := errors.New("the disk gave up")
	empty := []byte{0, 0} // a chunk of no entries and no bytes
	fold, err := wire.OpenFold(id, io.MultiReader(
		bytes.NewReader(wire.SaveFold(state.New(id))), bytes.NewReader(empty), iotest.ErrReader(failed), bytes.NewReader(empty)))
	if err != nil {
		t.Fatal(err)
	}
	if es, err := fold.Next(nil); len(es) > 0 || err != nil {
		t.Errorf("%d entries, error %v", len(es), err)
	}
	if es, err := fold.Next(nil); !errors.Is(err, wire.ErrFold) || !errors.Is(err, failed) {
		t.Errorf("%d entries, error %v", len(es), err)
	}
}
