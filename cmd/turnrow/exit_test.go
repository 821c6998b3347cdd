package main

import (
	"bytes"
	"errors"
	"fmt"
	"testing"

	"github.com/spf13/cobra"
)

// A command that was called rightly and failed ends with 1; whatever is the
// caller's doing ends with 2.
func TestExitCodes(t *testing.T) {
	gone := errors.New("the server is away")
	for _, c := range []struct {
		err  error
		want int
	}{
		{failed{gone}, exitFailed},
		{fmt.Errorf("sync: %w", failed{gone}), exitFailed},
		{gone, exitWrong}, // refused before a command ran
		{failed{wrongCall{gone}}, exitWrong},
		{wrongCall{gone}, exitWrong},
	} {
		if got := exitCode(c.err); got != c.want {
			t.Errorf("%#v: exit code %d, want %d", c.err, got, c.want)
		}
		if !errors.Is(c.err, gone) {
			t.Errorf("%#v lost its cause", c.err)
		}
	}
}

func TestEveryCommandMarksItsFailures(t *testing.T) {
	gone := errors.New("gone")
	leaf := &cobra.Command{Use: "leaf", RunE: func(*cobra.Command, []string) error { return gone }}
	root := group(&cobra.Command{Use: "root", SilenceErrors: true, SilenceUsage: true})
	branch := group(&cobra.Command{Use: "branch"})
	branch.AddCommand(leaf)
	root.AddCommand(branch)
	markFailures(root)
	for line, want := range map[string]int{"leaf": exitFailed, "lief": exitWrong} {
		root.SetArgs([]string{"branch", line})
		if err := root.Execute(); err == nil || exitCode(err) != want {
			t.Errorf("%s: %v", line, err)
		}
	}
}

// Every command says what it does.
func TestEveryCommandHasHelp(t *testing.T) {
	var visit func(*cobra.Command)
	visit = func(c *cobra.Command) {
		if c.Short == "" {
			t.Errorf("%s has no short help", c.CommandPath())
		}
		for _, sub := range c.Commands() {
			visit(sub)
		}
	}
	visit(newRoot(&globals{out: &bytes.Buffer{}, errs: &bytes.Buffer{}}))
}

func TestMessagesAreOneLine(t *testing.T) {
	if got := oneLine("unknown command\n\nDid you mean this?\n\trate\n"); got != "unknown command Did you mean this? rate" {
		t.Errorf("%q", got)
	}
}
