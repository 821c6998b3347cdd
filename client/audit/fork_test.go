package audit_test

import (
	"bytes"
	"strings"
	"testing"

	"turnrow/client/audit"
	"turnrow/client/crewtest"
	"turnrow/sync/entry"
)

// forkedRuns are a record in which one device went on from an old copy: the
// same crew twice, the second of whose Ben writes other words in the end.
func forkedRuns(t *testing.T) []entry.Run {
	t.Helper()
	first, second := newFarm(t), newFarm(t)
	const ben = 1
	first.Write(ben, &entry.Noted{Text: "on the phone as it was"})
	first.Write(ben, &entry.Noted{Text: "and on"})
	second.Write(ben, &entry.Noted{Text: "on the phone that was restored"})
	runs := first.Runs()
	branch := second.Runs()[ben]
	common := len(runs[ben].Entries) - 2
	branch.First, branch.Entries = uint64(common+1), branch.Entries[common:]
	return append([]entry.Run{branch}, runs...) // as if the branch came first
}

func TestBothBranchesOfAForkedLogAreInTheFile(t *testing.T) {
	runs := forkedRuns(t)
	var out bytes.Buffer
	n, err := audit.Write(&out, audit.Source{Farm: crewtest.ID(), Runs: func(yield func(entry.Run, error) bool) {
		for _, r := range runs {
			if !yield(r, nil) {
				return
			}
		}
	}}, nil)
	if err != nil || n != 20 {
		t.Fatalf("wrote %d entries, %v; want 17, and 3 beyond the fork", n, err)
	}
	for _, words := range []string{"on the phone as it was", "and on", "on the phone that was restored"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is not in the file", words)
		}
	}
	if r := check(t, out.Bytes()); !r.OK() || r.Entries != 20 || r.Devices != 3 || len(r.Words) > 0 {
		t.Errorf("found %+v", r)
	}
	said, err := referee(t, "node", block(t, "js"), out.Bytes(), "farm.jsonl")
	if err != nil || !strings.Contains(said, "20 entries of 3 devices") {
		t.Errorf("node says %q (%v)", said, err)
	}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	for i, l := range lines {
		lines[i] = strings.Replace(l, `"after_hash":"`, `"after_hash":"00`, 1)
	}
	if r := check(t, edited(t, lines)); r.OK() || !strings.Contains(r.Faults[0], "goes on from an entry that is not in the file") {
		t.Errorf("a branch from nowhere: %+v", r)
	}
}
