package main

import (
	"bytes"
	"encoding/json"
	"fmt"

	"turnrow/client/safetext"
)

// show prints an answer: with --json the value as one line of JSON, otherwise
// the lines for people. It is the one way to standard output for what the
// record says.
func (g *globals) show(value any, lines []string) error {
	if g.json {
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(value); err != nil {
			return err
		}
		_, err := g.out.Write(safetext.JSON(b.Bytes()))
		return err
	}
	for _, line := range lines {
		if _, err := fmt.Fprintln(g.out, visible(line)); err != nil {
			return err
		}
	}
	return nil
}
