package rate

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/units"
)

// The Explain methods write a sum step by step, as on paper: one line for each
// step, with units, in the system that the reader chose.

// figure writes a number with so many significant figures and at least its
// whole part, without trailing zeros.
func figure(x float64, significant int) string {
	text := strconv.FormatFloat(x, 'e', significant-1, 64)
	at := strings.IndexByte(text, 'e')
	if at < 0 {
		return text // NaN or infinite
	}
	exponent, _ := strconv.Atoi(text[at+1:])
	text = strconv.FormatFloat(x, 'f', max(0, significant-1-exponent), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// percent writes a fraction of one in per cent.
func percent(fraction float64) string { return figure(float64(fraction*100), 3) + " %" }

// partOf writes a share in per cent with every digit that it has.
func partOf(s units.Share) string { return strings.TrimSuffix(s.String(), "%") + " %" }

// paper collects the lines of a sum.
type paper struct {
	system units.System
	lines  []string
}

func (p *paper) line(format string, args ...any) {
	p.lines = append(p.lines, fmt.Sprintf(format, args...))
}

// metric reports whether the reader chose metric units.
func (p *paper) metric() bool { return p.system == units.Metric }

// length, area and rate write a float in SI units in the reader's system.

func (p *paper) length(metres float64) string {
	if p.metric() {
		return figure(metres, 4) + " m"
	}
	return figure(metres/0.3048, 4) + " ft"
}

func (p *paper) area(squareMetres float64) string {
	if p.metric() {
		return figure(squareMetres, 4) + " m2"
	}
	return figure(squareMetres/squareMetresPerSquareFoot, 4) + " ft2"
}

// field writes an area as a field's: acres or hectares.
func (p *paper) field(squareMetres float64) string {
	if p.metric() {
		return figure(squareMetres/10_000, 4) + " ha"
	}
	return figure(squareMetres/squareMetresPerAcre, 4) + " ac"
}

func (p *paper) rate(gramsPerSquareMetre float64) string {
	if p.metric() {
		return figure(gramsPerSquareMetre*10, 4) + " kg/ha"
	}
	return figure(gramsPerSquareMetre/gramsPerPound*squareMetresPerAcre, 4) + " lb/ac"
}

func (p *paper) mass(grams float64) string {
	if p.metric() && grams < 1000 {
		return figure(grams, 4) + " g"
	}
	if p.metric() {
		return figure(grams/1000, 4) + " kg"
	}
	if grams < gramsPerPound {
		return figure(grams/gramsPerPound*16, 4) + " oz"
	}
	return figure(grams/gramsPerPound, 4) + " lb"
}

// density writes a count to the square metre.
func (p *paper) density(perSquareMetre float64) string {
	if p.metric() {
		return figure(perSquareMetre, 4) + " /m2"
	}
	return figure(perSquareMetre*squareMetresPerSquareFoot, 4) + " /ft2"
}

// Exact by NIST SP 811, Appendix B.
const (
	gramsPerPound             = 453.59237
	squareMetresPerAcre       = 4046.8564224
	squareMetresPerSquareFoot = 0.09290304
)
