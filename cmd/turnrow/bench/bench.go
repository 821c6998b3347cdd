// Package bench measures turnrow as it runs: real stores on a disk, real gRPC
// and TLS on loopback, and the workload that other systems have been measured
// with. What has to be alone in its process to be measured, such as the memory
// of a server, runs in a process of its own.
//
// A measure gives figures by name; each is the median of several runs. Times
// tell of the machine and of what else it does; bytes, round trips and ratios
// tell of turnrow.
package bench

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Options are what to measure, and with how much.
type Options struct {
	N        int      // entries of the workload, from Least
	Runs     int      // of which the medians are taken, from 1
	Only     []string // keys of measures; none for all
	Grow     bool     // measure what depends on N at 10 N too
	Watchers int      // devices that listen, in fan_out
	Farms    int      // farms on one server, in many_farms
	Links    int      // slow links, in slow_link
	// Self is the program that answers Child: its path and what comes before
	// Child's arguments.
	Self []string
	Tell func(format string, args ...any) // of progress
}

// Least is the smallest N: below it batches and catch-ups have no room.
const Least = 200

// Figures are what a measure gives, by name.
type Figures map[string]float64

// Report is what was measured, by the measures' keys.
type Report struct {
	N, Runs int
	Machine Machine
	At      map[string]Figures // at N
	At10    map[string]Figures // at 10 N, of the measures that depend on it
}

// measure is one line of the table, or several that are measured together.
type measure struct {
	keys  []string
	grows bool // whether it depends on N
	once  bool // takes its medians by itself
	run   func(b *bench, ctx context.Context, n int) (map[string]Figures, error)
}

var measures = []measure{
	{keys: crewKeys, grows: true, run: (*bench).crewOf},
	{keys: []string{keyFold}, grows: true, run: (*bench).fold},
	{keys: []string{keyFanOut}, once: true, run: (*bench).fanOut},
	{keys: []string{keyManyFarms}, once: true, run: (*bench).manyFarms},
	{keys: []string{keySlowLink}, once: true, run: (*bench).slowLink},
}

// The keys of the measures.
const (
	keyRecordDurable = "record_durable"
	keyRecordGrouped = "record_grouped"
	keyColdSync      = "cold_sync"
	keyMergeEight    = "merge_eight"
	keyCatchUp       = "catch_up"
	keyOpen          = "open"
	keyFold          = "fold"
	keyFanOut        = "fan_out"
	keyManyFarms     = "many_farms"
	keySlowLink      = "slow_link"
)

var crewKeys = []string{keyRecordDurable, keyRecordGrouped, keyColdSync, keyMergeEight, keyCatchUp, keyOpen}

// Keys are the measures, in the order of the table.
func Keys() []string {
	return append(slices.Clone(crewKeys), keyFold, keyFanOut, keyManyFarms, keySlowLink)
}

// ErrOptions reports options that cannot be measured with, and says which.
var ErrOptions = errors.New("cannot measure")

func (o *Options) check() error {
	for _, k := range o.Only {
		if !slices.Contains(Keys(), k) {
			return fmt.Errorf("%w: no measure %q; there are %s", ErrOptions, k, strings.Join(Keys(), ", "))
		}
	}
	for _, v := range []struct {
		name        string
		n, from, to int
	}{
		{"entries", o.N, Least, 10_000_000}, {"runs", o.Runs, 1, 1000}, {"watchers", o.Watchers, 1, mostWatchers},
		{"farms", o.Farms, 10, mostFarms}, {"links", o.Links, 1, 1000},
	} {
		if v.n < v.from || v.n > v.to {
			return fmt.Errorf("%w: %d %s: must be %d to %d", ErrOptions, v.n, v.name, v.from, v.to)
		}
	}
	return nil
}

// bench is one call of Run.
type bench struct {
	Options
	dir  string
	dirs int
}

// Run measures. It leaves nothing behind. ErrOptions says what is wrong with
// the options.
func Run(ctx context.Context, o Options) (*Report, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "turnrow-bench-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	b := &bench{Options: o, dir: dir}
	r := &Report{N: o.N, Runs: o.Runs, Machine: thisMachine()}
	if r.At, err = b.all(ctx, o.N, false); err == nil && o.Grow {
		r.At10, err = b.all(ctx, 10*o.N, true)
	}
	return r, err
}

// all measures with n entries: all that is wanted, or only what depends on n.
func (b *bench) all(ctx context.Context, n int, growing bool) (map[string]Figures, error) {
	out := map[string]Figures{}
	for _, m := range measures {
		if !slices.ContainsFunc(m.keys, b.wants) || growing && !m.grows {
			continue
		}
		runs := b.Runs
		if m.once {
			runs = 1
		}
		samples := map[string][]Figures{}
		for i := range runs {
			b.Tell("%s, %d entries: run %d of %d", strings.Join(b.wanted(m.keys), ", "), n, i+1, runs)
			got, err := m.run(b, ctx, n)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", strings.Join(m.keys, ", "), err)
			}
			for _, k := range m.keys {
				if got[k] != nil {
					samples[k] = append(samples[k], got[k])
				}
			}
		}
		for k, s := range samples {
			out[k] = medians(s)
		}
	}
	return out, nil
}

func (b *bench) wants(key string) bool { return len(b.Only) == 0 || slices.Contains(b.Only, key) }

func (b *bench) wanted(keys []string) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return !b.wants(k) })
}

// folder is a new folder for a part of the measuring.
func (b *bench) folder(name string) string {
	b.dirs++
	return filepath.Join(b.dir, fmt.Sprintf("%d-%s", b.dirs, name))
}
