package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

// exactly and atLeast ask for so many arguments, and say how the command is
// called where there are others.

func exactly(n int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != n {
			return howCalled(c)
		}
		return nil
	}
}

func atLeast(n int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < n {
			return howCalled(c)
		}
		return nil
	}
}

func howCalled(c *cobra.Command) error {
	return wrongCall{fmt.Errorf("it is called as: %s %s", c.Parent().CommandPath(), c.Use)}
}
