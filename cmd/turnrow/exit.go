package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/nearest"
)

// The exit codes.
const (
	exitFailed = 1 // what was asked for failed
	exitWrong  = 2 // the call was wrong: flags, arguments, values
	exitAsks   = 3 // a question was not answered, and nothing written
)

// wrongCall marks an error as the caller's: exit code 2.
type wrongCall struct{ error }

func (w wrongCall) Unwrap() error { return w.error }

// failed marks an error of a command that was called rightly: exit code 1.
// Everything that cobra refuses before a command runs is a wrong call.
type failed struct{ error }

func (f failed) Unwrap() error { return f.error }

func exitCode(err error) int {
	var wrong wrongCall
	var fail failed
	if errors.As(err, &fail) && !errors.As(err, &wrong) {
		return exitFailed
	}
	return exitWrong
}

// markFailures wraps the errors of every command below c, so that they can be
// told from what cobra refuses.
func markFailures(c *cobra.Command) {
	if do := c.RunE; do != nil {
		c.RunE = func(c *cobra.Command, args []string) error {
			if err := do(c, args); err != nil {
				return failed{err}
			}
			return nil
		}
	}
	for _, sub := range c.Commands() {
		markFailures(sub)
	}
}

// flagError says which flag is wrong and why, without the library's wrapping.
func flagError(c *cobra.Command, err error) error {
	var bad *pflag.InvalidValueError
	if errors.As(err, &bad) {
		return wrongCall{fmt.Errorf("--%s: %w", bad.GetFlag().Name, plainFlag(bad.GetValue(), bad.Unwrap()))}
	}
	var none *pflag.NotExistError
	if errors.As(err, &none) {
		return wrongCall{unknownFlag(c, none)}
	}
	var bare *pflag.ValueRequiredError
	if errors.As(err, &bare) {
		return wrongCall{fmt.Errorf("--%s has no value after it%s", bare.GetSpecifiedName(), exampleOf(c, bare.GetSpecifiedName()))}
	}
	return wrongCall{err}
}

// unknownFlag names the flags that may have been meant.
func unknownFlag(c *cobra.Command, err *pflag.NotExistError) error {
	name := "--" + err.GetSpecifiedName()
	if err.GetSpecifiedShortnames() != "" {
		name = "-" + err.GetSpecifiedName()
	}
	var known []string
	c.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	text := fmt.Sprintf("there is no flag %s: %s --help lists those that there are", name, c.CommandPath())
	if near := nearest.Names(err.GetSpecifiedName(), known); len(near) > 0 {
		text += "; nearest: --" + strings.Join(near, ", --")
	}
	return errors.New(text)
}
