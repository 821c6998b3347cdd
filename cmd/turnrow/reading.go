package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/fields"
)

// reading takes quantities out of a command's flags. It keeps the first thing
// that is wrong, naming the flag, so that a command reads them all and asks
// once.
type reading struct {
	*fields.Reader
	cmd *cobra.Command
	err error
	odd []answer.Unlikely // what is unlikely to be as it was given
}

func (g *globals) reading(cmd *cobra.Command) *reading {
	r := &reading{cmd: cmd}
	r.Reader = &fields.Reader{Texts: flags{cmd}, System: g.system,
		Refuse: func(flag string, err error) { r.fail("--%s: %w", flag, err) }}
	return r
}

// flags are a command's flags as fields.
type flags struct{ cmd *cobra.Command }

// Typed is a flag's value, and whether it was given.
func (f flags) Typed(flag string) (text string, given bool) {
	if of := f.cmd.Flags().Lookup(flag); of != nil {
		return of.Value.String(), of.Changed
	}
	return "", false
}

// Each is the values of a flag that may be given again.
func (f flags) Each(flag string) []string {
	list, err := f.cmd.Flags().GetStringArray(flag)
	if err != nil {
		return nil
	}
	return list
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
		if !r.Has(f) {
			r.fail("--%s is missing%s", f, exampleOf(r.cmd, f))
		}
	}
}

// oneOf asks for exactly one of several flags.
func (r *reading) oneOf(flags ...string) {
	var given []string
	for _, f := range flags {
		if r.Has(f) {
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
