package client_test

import (
	"slices"
	"testing"

	"turnrow/client"
	"turnrow/sync/entry"
)

// A writing that comes a second time under its number is written once, also by a
// program that was started again meanwhile.
func TestNumberedWritingIsWrittenOnce(t *testing.T) {
	home := t.TempDir()
	c := open(t, home)
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	ask := func(c *device, number string, texts ...string) []entry.ID {
		t.Helper()
		var bodies []entry.Body
		for _, text := range texts {
			bodies = append(bodies, &entry.Noted{Text: text})
		}
		ids, err := c.Ask(within(t), client.Writing{Build: client.Bodies(bodies...), Number: number, Form: "/note", Said: texts[0]})
		if err != nil {
			t.Fatal(err)
		}
		return ids
	}
	first := ask(c, "a", "one", "two")
	if again := ask(c, "a", "one", "two"); len(first) != 2 || !slices.Equal(first, again) {
		t.Errorf("%v the first time, %v the second", first, again)
	}
	ask(c, "", "without a number")
	entries := c.View().Entries
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	c = open(t, home)
	if again := ask(c, "a", "one", "two"); !slices.Equal(first, again) || c.View().Entries != entries {
		t.Errorf("after a restart %v, %d entries more", again, c.View().Entries-entries)
	}
	if ids, _, err := c.LastSaid("/note", "one"); err != nil || !slices.Equal(ids, first) {
		t.Errorf("last said: %v, %v", ids, err)
	}
	ask(c, "b", "three")
	if ids, _, err := c.LastSaid("/note", "one"); err != nil || ids != nil {
		t.Errorf("something else was said since, and not %v, %v", ids, err)
	}
	for i := range 300 { // more than are remembered
		ask(c, string(rune('c'+i)), "many")
	}
	if ids, err := c.Written("a"); err != nil || ids != nil {
		t.Errorf("long past: %v, %v", ids, err)
	}
}

// A write that the record refused left nothing under its number: what comes
// under it then is written.
func TestRefusedNumberIsFree(t *testing.T) {
	c := found(t, "")
	w := client.Writing{Build: client.Bodies(&entry.Noted{Text: "bell \x07"}), Number: "a"}
	if _, err := c.Ask(within(t), w); err == nil {
		t.Fatal("a control character was written")
	}
	w.Build = client.Bodies(&entry.Noted{Text: "bell"})
	ids, err := c.Ask(within(t), w)
	if written, _ := c.Written("a"); err != nil || len(ids) != 1 || !slices.Equal(ids, written) {
		t.Errorf("%v, %v, written %v", ids, err, written)
	}
}
