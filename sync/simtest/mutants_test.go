//go:build !js

package simtest_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var mutants = flag.String("mutants", "", "plant the mistakes whose names match this, one after another, and see each found")

// mistake is a mistake that is planted in the product: in a file, each text is
// put in the place of another.
type mistake struct {
	name  string
	lie   string // whose mending it takes out; "" where honest days find it
	n     int    // schedules
	swaps []swap
}

// swap is a text that stands in a file exactly once, and what takes its place.
type swap struct{ file, was, is string }

// TestPlantedMistakesAreFound plants mistakes in the product, without touching a
// file of it, and counts the schedules that find each. It takes long, and runs
// with -mutants. Without, it only looks whether each could still be planted.
func TestPlantedMistakesAreFound(t *testing.T) {
	for _, m := range mistakes {
		t.Run(strings.ReplaceAll(m.name, " ", "-"), func(t *testing.T) {
			overlay := m.plant(t)
			if *mutants == "" || !regexp.MustCompile(*mutants).MatchString(m.name) {
				return
			}
			found := m.find(t, overlay)
			if len(found) == 0 {
				t.Errorf("no schedule of %d finds it", m.n)
			}
			for _, f := range found {
				t.Log(f)
			}
		})
	}
}

// plant writes the changed files, and gives the path of an overlay for the go
// command that puts them in the place of those of the tree.
func (m *mistake) plant(t *testing.T) (overlay string) {
	t.Helper()
	dir, texts := t.TempDir(), map[string]string{}
	for _, s := range m.swaps {
		path, err := filepath.Abs(filepath.Join("..", "..", s.file))
		if err != nil {
			t.Fatal(err)
		}
		text, ok := texts[path]
		if !ok {
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			text = string(b)
		}
		if n := strings.Count(text, s.was); n != 1 {
			t.Fatalf("in %s this stands %d times, want once:\n%s", s.file, n, s.was)
		}
		texts[path] = strings.Replace(text, s.was, s.is, 1)
	}
	replace := map[string]string{}
	for _, name := range []string{"disk_test.go", "power_test.go", "memory_test.go"} { // the disk's engine takes long to link
		path, err := filepath.Abs(name)
		if err != nil {
			t.Fatal(err)
		}
		replace[path] = ""
	}
	for path, text := range texts {
		changed := filepath.Join(dir, fmt.Sprintf("%d-%s", len(replace), filepath.Base(path)))
		if err := os.WriteFile(changed, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		replace[path] = changed
	}
	b, err := json.Marshal(map[string]any{"Replace": replace})
	overlay = filepath.Join(dir, "overlay.json")
	if err == nil {
		err = os.WriteFile(overlay, b, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	return overlay
}

// find runs schedules on the product with the mistake, and gives how many broke,
// by rule.
func (m *mistake) find(t *testing.T, overlay string) (found []string) {
	t.Helper()
	run := "TestSchedules$"
	if m.lie != "" {
		run = "TestSchedulesWithALiar$"
	}
	cmd := exec.Command("go", "test", "-v", "-overlay", overlay, "-vet=off", "-count=1", "-run", run, ".",
		"-timeout", "30m", "-schedules", strconv.Itoa(m.n), "-seed", strconv.FormatUint(*seed, 10), "-tally")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for l := range strings.Lines(string(out)) {
		if text, ok := strings.CutPrefix(l, "tally: "); ok {
			found = append(found, strings.TrimSpace(text))
		}
	}
	return found
}
