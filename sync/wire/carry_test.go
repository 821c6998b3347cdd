package wire_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"reflect"
	"testing"
	"testing/iotest"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// carried is a carry file of some runs.
func carried(t testing.TB, h wire.CarryHeader, runs ...entry.Run) []byte {
	t.Helper()
	var buf bytes.Buffer
	w, err := wire.NewCarryWriter(&buf, h)
	for i := range runs {
		err = errors.Join(err, w.Run(&runs[i]))
	}
	if err = errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// uncarried reads a carry file to where it ends or fails.
func uncarried(file io.Reader) (h wire.CarryHeader, runs []entry.Run, err error) {
	r, h, err := wire.NewCarryReader(file)
	for err == nil {
		var run entry.Run
		if run, err = r.Next(); err == nil {
			runs = append(runs, run)
		}
	}
	if err == io.EOF {
		err = nil
	}
	return h, runs, err
}

var someHeader = wire.CarryHeader{Farm: farm, Device: devA, Have: someFrontier}

func manyRuns() []entry.Run {
	runs := []entry.Run{{Device: devA, First: 1, Entries: [][]byte{make([]byte, entry.MaxRaw)}, Sig: entry.Signature{1}}}
	full := entry.Run{Device: devB, First: 7, Sig: entry.Signature{2}}
	for full.Size() < exchange.MaxRun-600 {
		full.Entries = append(full.Entries, bytes.Repeat([]byte{byte(len(full.Entries))}, 500))
	}
	return append(runs, full, someRuns[0])
}

func TestCarryReadsBackAsWritten(t *testing.T) {
	file := carried(t, someHeader, manyRuns()...)
	for name, r := range map[string]io.Reader{
		"whole": bytes.NewReader(file), "byte by byte": iotest.OneByteReader(bytes.NewReader(file)),
		"with the end at once": iotest.DataErrReader(bytes.NewReader(file)),
	} {
		h, runs, err := uncarried(r)
		if err != nil || !reflect.DeepEqual(h, someHeader) || !reflect.DeepEqual(runs, manyRuns()) {
			t.Errorf("%s: header %+v, %d runs, error %v", name, h, len(runs), err)
		}
	}
}

// A file cut anywhere says so, and gives what came before the cut.
func TestCarryTorn(t *testing.T) {
	runs := []entry.Run{someRuns[0], someRuns[0], someRuns[0]}
	file := carried(t, someHeader, runs...)
	most := 0
	for n := range len(file) {
		_, got, err := uncarried(bytes.NewReader(file[:n]))
		if !errors.Is(err, wire.ErrCarry) {
			t.Fatalf("cut at %d of %d: error %v", n, len(file), err)
		}
		if len(got) < most || !reflect.DeepEqual(got, runs[:len(got)]) && len(got) > 0 {
			t.Fatalf("cut at %d: %d runs", n, len(got))
		}
		most = len(got)
	}
	if most != len(runs) {
		t.Errorf("a file cut just before its end gives %d runs", most)
	}
}

// A bit flipped anywhere is found before the end of the file.
func TestCarryFlipped(t *testing.T) {
	file := carried(t, someHeader, someRuns[0], someRuns[0])
	for at := range 8 * len(file) {
		bad := bytes.Clone(file)
		bad[at/8] ^= 1 << (at % 8)
		if _, _, err := uncarried(bytes.NewReader(bad)); !errors.Is(err, wire.ErrCarry) {
			t.Fatalf("bit %d: error %v", at, err)
		}
	}
}

// What claims to be huge is refused before room is made for it.
func TestCarryBounds(t *testing.T) {
	head := []byte("turnrow carry 1\n")
	for name, file := range map[string][]byte{
		"a header of 1 GiB": binary.AppendUvarint(bytes.Clone(head), 1<<30),
		"an endless number": append(bytes.Clone(head), bytes.Repeat([]byte{0xff}, 40)...),
		"another version":   []byte("turnrow carry 2\n"),
		"empty":             nil,
		"no header":         append(bytes.Clone(head), 0),
	} {
		_, _, err := uncarried(bytes.NewReader(file))
		if !errors.Is(err, wire.ErrCarry) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func TestCarryPassesOnTroubleWithReading(t *testing.T) {
	_, _, err := uncarried(io.MultiReader(bytes.NewReader(carried(t, someHeader)[:30]), iotest.ErrReader(errors.New("the stick is gone"))))
	if !errors.Is(err, wire.ErrCarry) {
		t.Errorf("error %v", err)
	}
}

// FuzzCarry reads hostile files: nothing panics, and a file that is taken for
// whole is, but for the encoding of its messages, the one that is written of
// what it gave.
func FuzzCarry(f *testing.F) {
	f.Add(carried(f, someHeader))
	f.Add(carried(f, someHeader, someRuns[0]))
	f.Add(carried(f, wire.CarryHeader{Have: chain.Frontier{}}, someRuns[0], someRuns[0]))
	f.Add([]byte("turnrow carry 1\n\x00"))
	f.Add([]byte("turnrow carry 1\n\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01"))
	f.Fuzz(func(t *testing.T, file []byte) {
		h, runs, err := uncarried(bytes.NewReader(file))
		if err != nil {
			if !errors.Is(err, wire.ErrCarry) {
				t.Fatal(err)
			}
			return
		}
		h2, again, err := uncarried(bytes.NewReader(carried(t, h, runs...)))
		if err != nil || !reflect.DeepEqual(h2, h) || len(again) != len(runs) {
			t.Fatalf("%d runs, then %d: %v", len(runs), len(again), err)
		}
		for i := range runs {
			if again[i].First != runs[i].First || again[i].Sig != runs[i].Sig || len(again[i].Entries) != len(runs[i].Entries) {
				t.Fatalf("run %d: %+v, then %+v", i, runs[i], again[i])
			}
		}
	})
}
