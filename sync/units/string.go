package units

import (
	"strconv"
	"strings"
)

// The String methods give the exact value, in decimal metric units or the
// type's own, so that parsing it gives the same value again.

// String gives exact grams, or kilograms from one on.
func (m Mass) String() string {
	if m >= 1_000_000 || m <= -1_000_000 {
		return decimal(int64(m), 6) + " kg"
	}
	return decimal(int64(m), 3) + " g"
}

// String gives exact millimetres, or metres from one on.
func (l Length) String() string {
	if l >= 1_000_000 || l <= -1_000_000 {
		return decimal(int64(l), 6) + " m"
	}
	return decimal(int64(l), 3) + " mm"
}

// String gives exact square metres, or hectares from one on.
func (a Area) String() string {
	if a >= 100_000_000 || a <= -100_000_000 {
		return decimal(int64(a), 8) + " ha"
	}
	return decimal(int64(a), 4) + " m2"
}

// String gives exact litres.
func (v Volume) String() string { return decimal(int64(v), 3) + " l" }

// String gives exact kilograms to the hectare.
func (r RatePerArea) String() string { return decimal(int64(r), 5) + " kg/ha" }

// String gives the exact count to the square metre.
func (d Density) String() string { return decimal(int64(d), 3) + " /m2" }

// String gives exact kilometres per hour.
func (v Speed) String() string { return decimal(int64(v), 6) + " km/h" }

// String gives the exact setting.
func (d Dial) String() string { return decimal(int64(d), 3) }

// String gives the exact number of turns.
func (t Turns) String() string { return decimal(int64(t), 3) }

// String gives the exact reading.
func (r Reading) String() string { return decimal(int64(r), 3) }

// String gives the exact count.
func (c Count) String() string { return decimal(int64(c), 3) }

// String gives the exact share in per cent.
func (s Share) String() string { return decimal(int64(s), 3) + "%" }

// String gives the exact amount with two decimals and no sign of money.
func (m Money) String() string { return strings.ReplaceAll(m.Format(""), ",", "") }

// decimal writes v ÷ 10^places without trailing zeros.
func decimal(v int64, places int) string {
	text := strconv.FormatUint(magnitude(v), 10)
	if len(text) <= places {
		text = strings.Repeat("0", places+1-len(text)) + text
	}
	whole, part := text[:len(text)-places], strings.TrimRight(text[len(text)-places:], "0")
	if part != "" {
		whole += "." + part
	}
	if v < 0 {
		return "-" + whole
	}
	return whole
}
