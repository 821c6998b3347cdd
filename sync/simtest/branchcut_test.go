package simtest_test

import (
	"slices"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/replica"
	"turnrow/sync/simtest/workload"
)

// Who knows two branches of a log, and stops the device at an entry of one, lets
// that branch stand and no other, whichever came first.
func TestAStopSaysOnWhichBranch(t *testing.T) {
	for _, first := range []string{"this", "that"} {
		wall := int64(workload.Begin)
		f, r := crowded(t, &wall)
		owner, liar := f.Writers[0], f.Writers[1]
		write := func(w *workload.Writer, b entry.Body, seen ...entry.Mark) entry.Mark {
			t.Helper()
			run, err := w.Run(entry.Draft{Wall: wall, Seen: seen, Body: b})
			if err == nil {
				_, err = r.Take([]entry.Run{run}) // a branch is kept, and told
			}
			if err != nil {
				t.Fatal(err)
			}
			return w.Head.Mark()
		}
		other := *liar
		other.Head = liar.Head.Clone()
		branches := map[string]*workload.Writer{"this": liar, "that": &other}
		marks := map[string]entry.Mark{}
		for _, name := range []string{first, map[string]string{"this": "that", "that": "this"}[first]} {
			marks["half of "+name] = write(branches[name], &entry.Noted{Text: name})
			marks[name] = write(branches[name], &entry.Noted{Text: name})
		}
		write(owner, &entry.Noted{Text: "saw that"}, marks["half of that"]) // a log names no number of another twice
		write(owner, &entry.DeviceStopped{Last: marks["this"], Why: "lost"}, marks["this"])
		if got := standing(r); !slices.Contains(got, "this") || slices.Contains(got, "that") {
			t.Errorf("%s came first: %v stand, want this and not that", first, got)
		}
	}
}

// standing are the texts of notes that count.
func standing(r *replica.Replica) (texts []string) {
	r.Read(func(s *farm.State) {
		for _, l := range s.Lines() {
			if b, ok := l.Body.(*entry.Noted); ok && l.LeftOut == "" && !strings.HasPrefix(b.Text, "saw") {
				texts = append(texts, b.Text)
			}
		}
	})
	return texts
}
