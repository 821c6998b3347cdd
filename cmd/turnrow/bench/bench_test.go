package bench_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"testing"

	"turnrow/cmd/turnrow/bench"
)

// TestMain lets this program play the parts that a bench gives to processes of
// their own.
func TestMain(m *testing.M) {
	if len(os.Args) == 4 && os.Args[1] == "part" {
		if err := bench.Child(context.Background(), os.Args[2], os.Args[3], os.Stdin, os.Stdout); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

func small(t *testing.T, only ...string) bench.Options {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return bench.Options{
		N: bench.Least, Runs: 1, Only: only, Watchers: 20, Farms: 10, Links: 1,
		Self: []string{self, "part"}, Tell: t.Logf,
	}
}

// counts are the figures that are the same on every machine, however busy, with
// a little room above what they were when this was written.
var counts = []struct {
	key, figure string
	most        float64
}{
	{"catch_up", "round_trips", 1},
	{"catch_up", "message_bytes", 1040},
	{"catch_up", "bytes", 1350},
	{"catch_up", "new_connection_bytes", 3060},
	{"cold_sync", "round_trips", 1},
	{"cold_sync", "bytes_per_entry", 30}, // with the connection, for so few
	{"merge_eight", "megabytes", 0.062},
}

// Every measure but the slow link, which takes the time that it takes, runs on
// a small record and gives figures; what is measured comes to what it should.
func TestMeasures(t *testing.T) {
	keys := slices.DeleteFunc(bench.Keys(), func(k string) bool { return k == "slow_link" })
	r, err := bench.Run(t.Context(), small(t, keys...))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	for _, k := range keys {
		figures, ok := got[k].(map[string]any)
		if !ok || len(figures) == 0 {
			t.Errorf("%s gives %v", k, got[k])
		}
	}
	for _, c := range counts {
		v, ok := r.At[c.key][c.figure]
		t.Logf("%s %s: %.4g", c.key, c.figure, v)
		if !ok || v > c.most {
			t.Errorf("%s %s is %.4g, %.4g at most should be", c.key, c.figure, v, c.most)
		}
	}
	head, rows := r.Table()
	for _, row := range rows {
		if len(row) != len(head) {
			t.Errorf("row %q under %q", row, head)
		}
	}
}

func TestOptions(t *testing.T) {
	for _, change := range []func(*bench.Options){
		func(o *bench.Options) { o.N = bench.Least - 1 },
		func(o *bench.Options) { o.Runs = 0 },
		func(o *bench.Options) { o.Only = []string{"speed"} },
		func(o *bench.Options) { o.Watchers = 0 },
		func(o *bench.Options) { o.Farms = 1 << 20 },
		func(o *bench.Options) { o.Links = -1 },
	} {
		o := small(t)
		change(&o)
		if _, err := bench.Run(t.Context(), o); !errors.Is(err, bench.ErrOptions) {
			t.Errorf("%+v gives %v", o, err)
		}
	}
}
