package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"turnrow/client/safetext"
)

// visible is a text of one line as a terminal may have it.
func visible(text string) string { return safetext.Line(text) }

// warn says something beside the answer.
func (g *globals) warn(text string) { fmt.Fprintln(g.errs, "turnrow:", visible(oneLine(text))) }

// whereObeyed says of a text that may not be written in which flag or word of
// the call it stands.
func (k *call) whereObeyed(err error) error {
	var bad *safetext.Error
	if !errors.As(err, &bad) {
		return err
	}
	where := ""
	k.cmd.Flags().Visit(func(f *pflag.Flag) {
		if where == "" && strings.Contains(f.Value.String(), bad.Text) {
			where = "--" + f.Name + ": "
		}
	})
	return wrongCall{fmt.Errorf("%s%w", where, bad)}
}

// papers is where a whole document goes that is asked for on standard output:
// as it is, unless a person at a terminal would see it.
func (g *globals) papers() io.Writer {
	if !g.isTerminal() {
		return g.out
	}
	return writerFunc(func(p []byte) error {
		lines := strings.Split(string(p), "\n")
		for i, line := range lines {
			lines[i] = visible(strings.TrimSuffix(line, "\r")) // a terminal needs no CR
		}
		_, err := io.WriteString(g.out, strings.Join(lines, "\n"))
		return err
	})
}
