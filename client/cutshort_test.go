package client

import (
	"context"
	"testing"
	"time"

	"turnrow/sync/entry"
)

// A writing that was noted, and cut short before the record took it, is written
// when it comes again, also where another has its place in the log by then.
func TestNotedAndCutShort(t *testing.T) {
	h, err := Open(t.TempDir(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer h.Close()
	ctx := context.Background()
	founded, err := h.Found(ctx, FoundOptions{Farm: "Lea", Owner: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	f := founded.Farm
	next := entry.ID{Log: f.Device().Log(), Seq: f.ownSeq() + 1}
	if _, err := f.numbers.note(numbered{Number: hashOf("a"), First: next.String(), Kinds: []entry.Kind{entry.KindNoted}, Wall: time.Now().UnixMilli() - 1000}); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Record(ctx, entry.ID{}, &entry.Noted{Text: "one"}); err != nil {
		t.Fatal(err)
	}
	if ids, err := f.Written("a"); err != nil || ids != nil {
		t.Errorf("taken for %v, %v", ids, err)
	}
	ids, err := f.Ask(ctx, Writing{Build: Bodies(&entry.Noted{Text: "one"}), Number: "a"})
	if err != nil || len(ids) != 1 || ids[0].Seq != next.Seq+1 {
		t.Errorf("written as %v, %v", ids, err)
	}
}
