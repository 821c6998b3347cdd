package main

import (
	"testing"

	"rsc.io/qr"
)

// What is drawn in half blocks must be the code, module by module, with white
// all round it.
func TestDrawnQRIsTheCode(t *testing.T) {
	text := "turnrow://192.168.1.10:7867/?farm=udtoLQ1Nhp-rw04wjw8GlQ&secret=eZxSYFYLrqU"
	code, err := qr.Encode(text, qr.L)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := drawQR(text)
	if err != nil {
		t.Fatal(err)
	}
	drawn := func(x, y int) bool {
		row := []rune(lines[(y+quiet)/2])
		switch row[x+quiet] {
		case '█':
			return false
		case '▀':
			return (y+quiet)%2 == 1
		case '▄':
			return (y+quiet)%2 == 0
		}
		return true
	}
	for y := -quiet; y < code.Size+quiet; y++ {
		for x := -quiet; x < code.Size+quiet; x++ {
			if black := code.Black(x, y); drawn(x, y) != black {
				t.Fatalf("module %d,%d is drawn black %v, is black %v", x, y, drawn(x, y), black)
			}
		}
	}
}
