package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/sync/units"
)

// reading takes quantities out of a command's flags. It keeps the first thing
// that is wrong, naming the flag, so that a command reads them all and asks
// once.
type reading struct {
	cmd     *cobra.Command
	system  units.System
	bushel  units.Mass // what a bushel weighs, where the species is known
	bushels error      // why that is not known, though it was published
	err     error
	odd     []unlikely // what is unlikely to be as it was given
}

func (g *globals) reading(cmd *cobra.Command) *reading {
	return &reading{cmd: cmd, system: g.system}
}

// has reports whether a flag was given.
func (r *reading) has(flag string) bool {
	f := r.cmd.Flags().Lookup(flag)
	return f != nil && f.Changed
}

// fail keeps an error about the call as a whole, unless there is one already.
func (r *reading) fail(format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf(format, args...)
	}
}

// need asks for flags without which the command can do nothing.
func (r *reading) need(flags ...string) {
	for _, f := range flags {
		if !r.has(f) {
			r.fail("--%s is missing%s", f, exampleOf(r.cmd, f))
		}
	}
}

// oneOf asks for exactly one of several flags.
func (r *reading) oneOf(flags ...string) {
	var given []string
	for _, f := range flags {
		if r.has(f) {
			given = append(given, "--"+f)
		}
	}
	switch all := "--" + strings.Join(flags, ", --"); {
	case len(given) == 0:
		r.fail("one of %s is missing%s", all, exampleOf(r.cmd))
	case len(given) > 1:
		r.fail("%s say the same in two ways: give one", strings.Join(given, " and "))
	}
}

func (r *reading) text(flag string) string {
	v, err := r.cmd.Flags().GetString(flag)
	if err != nil {
		r.fail("--%s: %w", flag, err)
	}
	return v
}

func (r *reading) list(flag string) []string {
	v, err := r.cmd.Flags().GetStringArray(flag)
	if err != nil {
		r.fail("--%s: %w", flag, err)
	}
	return v
}

// parser is the shape of the parsers in units.
type parser[T any] func(string, ...units.Option) (T, error)

// read parses a flag where it was given, and is zero where it was not.
func read[T any](r *reading, flag string, parse parser[T], opts ...units.Option) (v T) {
	if !r.has(flag) {
		return v
	}
	return readText(r, flag, r.text(flag), parse, opts...)
}

func readText[T any](r *reading, flag, text string, parse parser[T], opts ...units.Option) T {
	v, err := parse(text, opts...)
	if own, ok := units.BushelIn(text); err != nil && ok && own == 0 && r.bushels != nil {
		err = fmt.Errorf("%w; name one with --authority", r.bushels)
	}
	if err != nil {
		r.fail("--%s: %w", flag, err)
	}
	return v
}

// bare is the unit of a number without one, in the system that was chosen.
func (r *reading) bare(us, metric string) units.Option {
	if r.system == units.Metric {
		return units.Bare(metric)
	}
	return units.Bare(us)
}

// rate is a rate of what is in the bag.
func (r *reading) rate(flag string, opts ...units.Option) units.RatePerArea {
	return read(r, flag, units.ParseRate, append(opts, r.bare("lb/ac", "kg/ha"), units.Bushel(r.bushel))...)
}

// liveRate is a rate of live seed.
func (r *reading) liveRate(flag string) units.RatePerArea { return r.rate(flag, units.Live()) }

func (r *reading) mass(flag string) units.Mass {
	return read(r, flag, units.ParseMass, r.bare("lb", "kg"), units.Bushel(r.bushel))
}

// catch is masses of seed on a scale, whose unit must be said, and the units
// that all are in.
func (r *reading) catch(flag string) ([]units.Mass, units.In) {
	return r.masses(flag, r.list(flag))
}

// grams reads masses parted by commas, and the units that all are in; bare
// numbers are grams.
func (r *reading) grams(flag string) ([]units.Mass, units.In) {
	return r.masses(flag, r.parts(flag), units.Bare("g"))
}

func (r *reading) masses(flag string, texts []string, opts ...units.Option) ([]units.Mass, units.In) {
	var masses []units.Mass
	ins := make([]units.In, len(texts))
	for i, text := range texts {
		masses = append(masses, readText(r, flag, text, units.ParseMass, append(opts, units.KeepIn(&ins[i]))...))
	}
	return masses, units.OneIn(ins)
}

// parts is a flag's value parted at its commas.
func (r *reading) parts(flag string) []string {
	if !r.has(flag) {
		return nil
	}
	return strings.Split(r.text(flag), ",")
}

func (r *reading) length(flag string) units.Length {
	return read(r, flag, units.ParseLength, r.bare("ft", "m"))
}

// lengthIn is a length and the units that it is in.
func (r *reading) lengthIn(flag string) (l units.Length, in units.In) {
	l = read(r, flag, units.ParseLength, r.bare("ft", "m"), units.KeepIn(&in))
	return l, in
}

func (r *reading) spacing(flag string) units.Length {
	return read(r, flag, units.ParseLength, r.bare("in", "cm"))
}

func (r *reading) area(flag string) units.Area {
	return read(r, flag, units.ParseArea, r.bare("ac", "ha"))
}

func (r *reading) share(flag string) units.Share { return read(r, flag, units.ParseShare) }

// wholeShare is a share that under one per cent makes no sense for, so that
// 0.98 is 98 %. A bare 1 could be 1 % or 100 %, and is refused.
func (r *reading) wholeShare(flag string) units.Share {
	return read(r, flag, units.ParseShare, units.Fraction())
}

// whole is a number of things that come in ones.
func (r *reading) whole(flag string) int64 {
	if !r.has(flag) {
		return 0
	}
	return r.wholeText(flag, r.text(flag))
}

func (r *reading) wholeText(flag, text string) int64 {
	n := readText(r, flag, text, units.ParseCount)
	if n%1000 != 0 {
		r.fail("--%s: %q is not a whole number, such as 4", flag, text)
	}
	return int64(n) / 1000
}
