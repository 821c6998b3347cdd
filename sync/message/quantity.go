package message

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"turnrow/sync/units"
)

// Unit says which of the units a quantity is counted in.
type Unit uint8

// The units, each named after its type in package units.
const (
	UnitMass Unit = iota + 1
	UnitArea
	UnitRate    // mass per area
	UnitDensity // number per area
	UnitLength
	UnitVolume
	UnitMoney
	UnitShare
	UnitDecimal // thousandths of what a counter, a dial or a count shows
	UnitWhole   // a plain number
	UnitDegrees // ten-millionths of a degree of latitude or longitude
	UnitTimes   // millionths: how many times one rate is another
	UnitMetres  // units.Length, which is shown in metres everywhere: how far off a position may be
)

// Style is how much of a quantity a reader is shown.
type Style uint8

// The styles.
const (
	Plain     Style = iota // to the figures that are usual
	About                  // as what was worked out, and is not known to the last figure
	AsWritten              // in the unit that somebody wrote it in, or else to the last figure
	AsWeighed              // the same; where there is no such unit, a mass is in grams
)

// Quantity is a figure: N of Unit, which are those of the type in package units
// (mg, cm² and so on).
type Quantity struct {
	N     int64
	Unit  Unit
	Style Style
	In    units.In // that it was written in, where the style is AsWritten
}

// String is the figure in its base unit.
func (q Quantity) String() string {
	switch q.Unit {
	case UnitMass:
		return units.Mass(q.N).String()
	case UnitArea:
		return units.Area(q.N).String()
	case UnitRate:
		return units.RatePerArea(q.N).String()
	case UnitDensity:
		return units.Density(q.N).String()
	case UnitLength:
		return units.Length(q.N).String()
	case UnitVolume:
		return units.Volume(q.N).String()
	case UnitMoney:
		return units.Money(q.N).String()
	case UnitShare:
		return units.Share(q.N).String()
	case UnitDecimal:
		return units.Count(q.N).String()
	case UnitWhole:
		return strconv.FormatInt(q.N, 10)
	case UnitTimes:
		return strconv.FormatFloat(float64(q.N)/1e6, 'g', 4, 64) + " times"
	case UnitDegrees:
		return degrees(q.N)
	case UnitMetres:
		return units.Length(q.N).String()
	}
	return fmt.Sprintf("%d of unit %d", q.N, q.Unit)
}

// Mass is a mass.
func Mass(m units.Mass) Quantity { return Quantity{N: int64(m), Unit: UnitMass} }

// AboutMass is a mass that was worked out.
func AboutMass(m units.Mass) Quantity { return Quantity{N: int64(m), Unit: UnitMass, Style: About} }

// MassAs is a mass in the unit that it was written in.
func MassAs(m units.Mass, in units.In) Quantity {
	return Quantity{int64(m), UnitMass, AsWritten, in}
}

// Caught is a mass that a scale showed, in the unit that it was written in.
func Caught(m units.Mass, in units.In) Quantity {
	return Quantity{int64(m), UnitMass, AsWeighed, in}
}

// Area is an area.
func Area(a units.Area) Quantity { return Quantity{N: int64(a), Unit: UnitArea} }

// AboutArea is an area that was worked out.
func AboutArea(a units.Area) Quantity { return Quantity{N: int64(a), Unit: UnitArea, Style: About} }

// Rate is a mass per area.
func Rate(r units.RatePerArea) Quantity { return Quantity{N: int64(r), Unit: UnitRate} }

// RateAs is a mass per area to the last figure.
func RateAs(r units.RatePerArea) Quantity {
	return Quantity{N: int64(r), Unit: UnitRate, Style: AsWritten}
}

// Density is a number per area.
func Density(d units.Density) Quantity { return Quantity{N: int64(d), Unit: UnitDensity} }

// Length is a length.
func Length(l units.Length) Quantity { return Quantity{N: int64(l), Unit: UnitLength} }

// LengthAs is a length in the unit that it was written in.
func LengthAs(l units.Length, in units.In) Quantity {
	return Quantity{int64(l), UnitLength, AsWritten, in}
}

// Volume is a volume.
func Volume(v units.Volume) Quantity { return Quantity{N: int64(v), Unit: UnitVolume} }

// VolumeAs is a volume in the unit that it was written in.
func VolumeAs(v units.Volume, in units.In) Quantity {
	return Quantity{int64(v), UnitVolume, AsWritten, in}
}

// Money is an amount of money.
func Money(m units.Money) Quantity { return Quantity{N: int64(m), Unit: UnitMoney} }

// Share is a share, in percent.
func Share(s units.Share) Quantity { return Quantity{N: int64(s), Unit: UnitShare} }

// Decimal is a number in thousandths: a counter's reading, a setting, a count.
func Decimal[T ~int64](n T) Quantity { return Quantity{N: int64(n), Unit: UnitDecimal} }

// Whole is a whole number.
func Whole[T ~int | ~int64 | ~uint64](n T) Quantity { return Quantity{N: int64(n), Unit: UnitWhole} }

// Degrees is a latitude or a longitude, in ten-millionths of a degree.
func Degrees(n int64) Quantity { return Quantity{N: n, Unit: UnitDegrees} }

// Times is how many times one rate is another.
func Times(f float64) Quantity { return Quantity{N: int64(math.Round(f * 1e6)), Unit: UnitTimes} }

// Metres is how far off a position may be.
func Metres(l units.Length) Quantity { return Quantity{N: int64(l), Unit: UnitMetres} }

// degrees writes ten-millionths of a degree.
func degrees(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	text := fmt.Sprintf("%s%d.%07d", sign, n/10_000_000, n%10_000_000)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// Span is rates from Low to High.
type Span struct {
	Low, High units.RatePerArea
	Outward   bool // rounded so that both ends lie within
}

// Range is rates from the lowest to the highest.
func Range(low, high units.RatePerArea) Span { return Span{Low: low, High: high} }

// Between is the same, rounded outward.
func Between(low, high units.RatePerArea) Span { return Span{low, high, true} }

// String is both rates, in their base unit.
func (s Span) String() string { return s.Low.String() + " to " + s.High.String() }

func (Span) isArg() {}
