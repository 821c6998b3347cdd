package simtest_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/sync/simtest"
)

var update = flag.Bool("update", false, "write what was seen into the stories and golden files")

const stories = "../../testdata/stories"

// setting reads the setting that a story names.
func setting(name string) (string, error) {
	b, err := os.ReadFile(filepath.Join(stories, name+".setting"))
	return string(b), err
}

// eachStory runs fn on every story file.
func eachStory(t *testing.T, fn func(t *testing.T, path string, s *simtest.Story)) {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(stories, "*.story"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d stories, error %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".story"), func(t *testing.T) {
			b, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			s, err := simtest.ParseStory(filepath.Base(path), string(b), setting)
			if err != nil {
				t.Fatal(err)
			}
			fn(t, path, s)
		})
	}
}

// TestStories tells every story and compares what is seen with what is
// expected there.
func TestStories(t *testing.T) {
	eachStory(t, func(t *testing.T, path string, s *simtest.Story) {
		w := simtest.New()
		w.Look = w.Safe
		told, err := s.Tell(w)
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			if err := os.WriteFile(path, []byte(told.Text), 0o644); err != nil {
				t.Fatal(err)
			}
		} else if err := told.Err(); err != nil {
			t.Error(err)
		}
		if err := w.Healed(); err != nil {
			t.Error(err)
		}
	})
}
