// Command turnrow is a crew member's program: the record of a seeding day on
// this device, with or without signal, and the arithmetic that goes with it.
//
// It prints for people, or with --json one object or array for programs. It
// ends with 0, with 1 where what was asked for failed, with 2 where it was
// called wrongly, and with 3 where it has a question that nobody answered; one
// line on stderr says what is wrong.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"turnrow/client"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run carries out one call and gives its exit code.
func run(args []string, out, errs io.Writer) int {
	g := &globals{out: out, errs: errs}
	return g.run(context.Background(), args)
}

// run carries out a call, once more with each answer to what it asks.
func (g *globals) run(ctx context.Context, args []string) int {
	g.args = args
	for _, text := range args {
		if !utf8.ValidString(text) {
			return g.end(wrongCall{fmt.Errorf("%q has letters that cannot be read: type it again; a text from an old file may have to be saved anew", text)})
		}
	}
	for {
		err := g.once(ctx)
		var asks asking
		if !errors.As(err, &asks) {
			return g.end(err)
		}
		if !g.answered(asks) {
			return g.unanswered(asks)
		}
	}
}

func (g *globals) once(ctx context.Context) error {
	root := newRoot(g)
	root.SetArgs(g.args)
	return root.ExecuteContext(ctx)
}

// end says what is wrong, if anything, and gives the exit code.
func (g *globals) end(err error) int {
	var done doorExit
	switch {
	case err == nil:
		return 0
	case errors.As(err, &done):
		return int(done)
	case errors.Is(err, client.ErrLeftOut):
		g.warn(err.Error())
		return 0
	}
	g.warn(plain(err))
	return exitCode(err)
}

// oneLine joins the lines of a message, for those that come in several.
func oneLine(text string) string {
	var parts []string
	for _, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			parts = append(parts, line)
		}
	}
	return strings.Join(parts, " ")
}
