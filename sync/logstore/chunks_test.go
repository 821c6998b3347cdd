package logstore_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/record"

	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

const block = 32 << 10 // of the engine's log

// engineLog is records as the engine writes them to its log.
func engineLog(t testing.TB, records ...[]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	w := record.NewLogWriter(&out, 7, record.LogWriterConfig{WriteWALSyncOffsets: func() bool { return true }})
	for _, r := range records {
		logtest.Must(w.WriteRecord(r))(t)
	}
	check(t, w.Close())
	return out.Bytes()
}

// A record that goes over several blocks and lost one of them is no record:
// what is left of it is not taken for one.
func TestPartsOfARecordAreNoRecord(t *testing.T) {
	small, large, last := []byte("a small one"), bytes.Repeat([]byte("large "), block/2), []byte("last")
	data := engineLog(t, small, large, last)
	if got := logstore.LogRecords(data, 7); len(got) != 3 || !bytes.Equal(got[1], large) {
		t.Fatalf("%d records", len(got))
	}
	for name, harm := range map[string]func([]byte){
		"its beginning changed": func(b []byte) { copy(b[200:], "not what was written") },
		"its middle changed":    func(b []byte) { copy(b[block+200:], "not what was written") },
		"its end changed":       func(b []byte) { copy(b[3*block+20:], "not what was written") },
		"its middle cleared":    func(b []byte) { clear(b[block : 2*block]) },
		"its beginning cleared": func(b []byte) { clear(b[30:block]) },
	} {
		bad := slices.Clone(data)
		harm(bad)
		for _, r := range logstore.LogRecords(bad, 7) {
			if !bytes.Equal(r, small) && !bytes.Equal(r, last) {
				t.Errorf("%s: %d bytes are taken for a record", name, len(r))
			}
		}
	}
}

// FuzzSalvage reads whatever bytes as a file of the engine's log: nothing
// panics, and nothing is found that is not in them.
func FuzzSalvage(f *testing.F) {
	batch := func(n int) []byte {
		var b pebble.Batch
		check(f, b.Set([]byte("key"), bytes.Repeat([]byte("x"), n), nil))
		check(f, b.Delete([]byte("other"), nil))
		return bytes.Clone(b.Repr())
	}
	f.Add(batch(10), true)
	f.Add(engineLog(f, batch(10), batch(100)), false)
	f.Add(batch(200)[:40], true)
	f.Fuzz(func(t *testing.T, data []byte, record bool) {
		if record { // as a record whose checksum holds
			data = engineLog(t, data)
		}
		found, _ := logstore.Salvage(data, 7)
		if found > len(data) {
			t.Errorf("%d keys in %d bytes", found, len(data))
		}
	})
}
