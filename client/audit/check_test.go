package audit_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"turnrow/client/audit"

	"pgregory.net/rapid"
)

func check(t crewtestT, file []byte) audit.Report {
	t.Helper()
	r, err := audit.Check(bytes.NewReader(file), nil)
	if err != nil {
		t.Fatalf("not a file: %v", err)
	}
	return r
}

type crewtestT interface {
	Helper()
	Fatalf(string, ...any)
}

func TestWholeFileIsFoundWhole(t *testing.T) {
	r := check(t, written(t, newFarm(t)))
	if !r.OK() || r.Entries != 17 || r.Devices != 3 || r.Name != "Quill Hollow" || len(r.Words) > 0 {
		t.Errorf("found %+v, want 17 entries of 3 devices and nothing wrong", r)
	}
}

// TestAnyChangedDigitIsFound changes one character anywhere in the file. A
// report must find it, or the file is none any more.
func TestAnyChangedDigitIsFound(t *testing.T) {
	whole := written(t, newFarm(t))
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(whole)-2).Draw(t, "at")
		now := rapid.SampledFrom([]byte("0123456789abcdef\"{}: zZ")).Draw(t, "character")
		if whole[at] == now {
			return
		}
		file := bytes.Clone(whole)
		file[at] = now
		if r, err := audit.Check(bytes.NewReader(file), nil); err == nil && r.OK() {
			t.Errorf("character %d changed from %q to %q, and nothing was found", at, whole[at], now)
		}
	})
}

// edited is a file whose lines were changed by someone who can mend its sum.
func edited(t *testing.T, lines []string) []byte {
	t.Helper()
	body := strings.Join(lines[:len(lines)-1], "\n") + "\n"
	return append([]byte(body), fmt.Sprintf("{\"entries\":%d,\"sha256\":\"%s\"}\n", strings.Count(body, `"seq":`), sha256Of(body))...)
}

// TestEvidenceIsMissedEvenWhereTheSumIsMended takes the part of someone who
// changes lines, and makes the sum at the end anew.
func TestEvidenceIsMissedEvenWhereTheSumIsMended(t *testing.T) {
	lines := strings.Split(strings.TrimSuffix(string(written(t, newFarm(t))), "\n"), "\n")
	find := func(what string) int {
		for i, l := range lines {
			if strings.Contains(l, what) {
				return i
			}
		}
		t.Fatalf("no line with %s", what)
		return 0
	}
	without := func(i int) []string { return append(append([]string{}, lines[:i]...), lines[i+1:]...) }
	with := func(i int, old, new string) []string {
		out := append([]string{}, lines...)
		out[i] = strings.Replace(out[i], old, new, 1)
		if out[i] == lines[i] {
			t.Fatalf("line %d has no %s", i, old)
		}
		return out
	}
	fill := find(`"filled"`)
	swapped := append([]string{}, lines...)
	swapped[fill], swapped[fill+1] = swapped[fill+1], swapped[fill]
	for _, c := range []struct {
		name  string
		lines []string
		want  string
	}{
		{"nothing", lines, ""},
		{"an entry taken out of the middle", without(fill), "does not follow on entry 1"},
		{"two entries changed about", swapped, "does not follow"},
		{"the last entry of a device taken out", without(find(`"noted"`)), "are not signed"},
		{"a device's own line taken out", without(fill - 2), "does not follow"},
		{"the bytes changed", with(fill, `"bytes":"`, `"bytes":"08`), "entry 2 of"},
		{"a hash changed", with(fill, `"hash":"`, `"hash":"00`), "hash does not follow"},
		{"a signature changed", with(find(`"noted"`), `"signature":"`, `"signature":"00`), "signature of 65 bytes"},
		{"a key changed", with(fill-2, `"key":"`, `"key":"00`), "not the one that its bytes name"},
		{"the person changed", with(fill, `"person":"Cléo"`, `"person":"Ben"`), "its bytes say"},
		{"the time changed", with(fill, `"wall":"2026`, `"wall":"2025`), "its bytes say"},
		{"the farm changed", with(0, `"name":"Quill`, `"name":"Quilt`), `is said to be of "Quilt Hollow"`},
		{"a line that is no JSON", with(fill, `{`, `{{`), "line"},
	} {
		r := check(t, edited(t, c.lines))
		if found := strings.Join(r.Faults, "\n"); (c.want == "") != r.OK() || !strings.Contains(found, c.want) {
			t.Errorf("%s: found %q, want %q", c.name, found, c.want)
		}
	}
	r := check(t, edited(t, with(find(`"noted"`), "rain at four", "sun at four")))
	if !r.OK() || len(r.Words) != 1 || !strings.Contains(r.Words[0], `reads "rain at four"`) {
		t.Errorf("words that the bytes do not bear out: %+v", r)
	}
}

func TestTornAndOtherFilesAreNone(t *testing.T) {
	whole := written(t, newFarm(t))
	torn := check(t, whole[:bytes.LastIndexByte(whole[:len(whole)-1], '\n')+1])
	if torn.OK() || !strings.Contains(strings.Join(torn.Faults, " "), "torn") {
		t.Errorf("a torn file: %+v", torn)
	}
	for _, text := range []string{"", "turnrow carry 1\n", "{}\n", `{"audit":"turnrow audit 9"}` + "\n", `{"audit":"turnrow audit 1","farm":"x"}` + "\n"} {
		if _, err := audit.Check(strings.NewReader(text), nil); !errors.Is(err, audit.ErrFile) {
			t.Errorf("%q: %v, want ErrFile", text, err)
		}
	}
}

func FuzzCheck(f *testing.F) {
	f.Add([]byte(`{"audit":"turnrow audit 1","farm":"ddc5236f-6e58-887b-8b04-41c89edd8ed2"}` + "\n{\"key\":\"00\",\"device\":\"\"}\n{\"seq\":1,\"bytes\":\"\"}\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		if r, err := audit.Check(bytes.NewReader(file), nil); err == nil && r.OK() && r.Entries == 0 {
			t.Errorf("a file without entries was found whole")
		}
	})
}
