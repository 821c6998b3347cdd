package main

import (
	"bytes"
	"path/filepath"
	"testing"
)

// A command that shows nothing of the farm does not work one out: on a long
// record that takes a hundred times as long as to write a note down.
func TestCommandsThatNeedNoViewMakeNone(t *testing.T) {
	home := filepath.Join(t.TempDir(), "h")
	held := holder(t, home)
	for _, tt := range []struct {
		views int
		args  []string
	}{
		{0, []string{"note", "the wet spot by the gate"}},
		{1, []string{"hitch", "hold", "--why", "someone is in the way"}}, // it is told on which drill
		{0, []string{"log"}},
		{0, []string{"carry", "out", filepath.Join(home, "carried")}},
		{0, []string{"backup", filepath.Join(home, "kept")}},
		{1, []string{"status"}},
	} {
		before := held.Views()
		var out, errs bytes.Buffer
		if code := run(append([]string{"--home", home}, tt.args...), &out, &errs); code != 0 {
			t.Errorf("%v: exit code %d: %s%s", tt.args, code, &out, &errs)
		}
		if n := held.Views() - before; n != tt.views {
			t.Errorf("%v made %d views, want %d", tt.args, n, tt.views)
		}
	}
}
