package main

import (
	"os"
	"strings"

	"rsc.io/qr"
)

// quiet is the modules of white around a QR code (ISO/IEC 18004 asks for 4).
const quiet = 4

// writeQR writes a text as a QR code into a PNG file, readable by its owner
// alone: an invite is a key.
func writeQR(file, text string) error {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return err
	}
	return os.WriteFile(file, code.PNG(), 0o600)
}

// drawQR draws a text as a QR code in half blocks, two modules to a letter,
// white on the terminal's black.
func drawQR(text string) ([]string, error) {
	code, err := qr.Encode(text, qr.L)
	if err != nil {
		return nil, err
	}
	white := func(x, y int) bool { return y < code.Size+quiet && !code.Black(x, y) } // beyond its edge a code is white
	var lines []string
	for y := -quiet; y < code.Size+quiet; y += 2 {
		var b strings.Builder
		for x := -quiet; x < code.Size+quiet; x++ {
			b.WriteString(halfBlock(white(x, y), white(x, y+1)))
		}
		lines = append(lines, b.String())
	}
	return lines, nil
}

func halfBlock(top, bottom bool) string {
	switch {
	case top && bottom:
		return "█"
	case top:
		return "▀"
	case bottom:
		return "▄"
	}
	return " "
}
