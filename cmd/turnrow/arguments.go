package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// exactly and atLeast ask for so many arguments, and say how the command is
// called where there are others.

func exactly(n int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != n {
			return howCalled(c, tooMany(args, n))
		}
		return nil
	}
}

func atMost(n int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > n {
			return howCalled(c, tooMany(args, n))
		}
		return nil
	}
}

func atLeast(n int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < n {
			return howCalled(c, "")
		}
		return nil
	}
}

// tooMany names the first word of a call that it has no place for.
func tooMany(args []string, n int) string {
	if len(args) <= n {
		return ""
	}
	return fmt.Sprintf("%q is a word too many: ", args[n])
}

func howCalled(c *cobra.Command, wrong string) error {
	return wrongCall{fmt.Errorf("%swrite it as: %s %s%s", wrong, c.Parent().CommandPath(), c.Use, exampleOf(c))}
}

// exampleOf shows how a command is called: the first of its examples that has
// all of the flags, or just the first.
func exampleOf(c *cobra.Command, flags ...string) string {
	lines := strings.Split(c.Example, "\n")
	for _, line := range lines {
		if line = strings.TrimSpace(line); line != "" && !slices.ContainsFunc(flags, func(f string) bool { return !strings.Contains(line, "--"+f+" ") }) {
			return ", for example: " + line
		}
	}
	if first := strings.TrimSpace(lines[0]); first != "" {
		return ", for example: " + first
	}
	return ""
}
