package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

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

// figures is how many significant figures an answer's numbers carry: more
// than any sum here is good to, and few enough that a rate typed as 30 lb/ac,
// kept in whole micrograms to the square metre, comes back as 30.
const figures = 6

// number is a float64 that prints with six significant figures in JSON.
type number float64

// MarshalJSON writes the number, or null where it is none.
func (n number) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', figures, 64), 64)
	if err != nil {
		return nil, err
	}
	return json.Marshal(rounded)
}
