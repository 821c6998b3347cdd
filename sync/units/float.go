package units

import (
	"math"
	"strconv"
)

// The methods below give a quantity as a float64 in the unit that they name,
// for showing and for sums that no digest covers.

// Grams is the mass in g.
func (m Mass) Grams() float64 { return float64(m) / 1e3 }

// Kilograms is the mass in kg.
func (m Mass) Kilograms() float64 { return float64(m) / 1e6 }

// Pounds is the mass in lb.
func (m Mass) Pounds() float64 { return float64(m) / 453592.37 }

// Ounces is the mass in oz.
func (m Mass) Ounces() float64 { return float64(m) / 28349.523125 }

// Metres is the length in m.
func (l Length) Metres() float64 { return float64(l) / 1e6 }

// Millimetres is the length in mm.
func (l Length) Millimetres() float64 { return float64(l) / 1e3 }

// Feet is the length in ft.
func (l Length) Feet() float64 { return float64(l) / 304800 }

// Inches is the length in in.
func (l Length) Inches() float64 { return float64(l) / 25400 }

// SquareMetres is the area in m².
func (a Area) SquareMetres() float64 { return float64(a) / 1e4 }

// SquareFeet is the area in ft².
func (a Area) SquareFeet() float64 { return float64(a) / 929.0304 }

// Acres is the area in ac.
func (a Area) Acres() float64 { return float64(a) / 40468564.224 }

// Hectares is the area in ha.
func (a Area) Hectares() float64 { return float64(a) / 1e8 }

// Litres is the volume in l.
func (v Volume) Litres() float64 { return float64(v) / 1e3 }

// Bushels is the volume in US bushels.
func (v Volume) Bushels() float64 { return float64(v) / 35239.07016688 }

// LbPerAcre is the rate in lb/ac.
func (r RatePerArea) LbPerAcre() float64 { return float64(r) * 4046.8564224 / 453592370 }

// KgPerHa is the rate in kg/ha.
func (r RatePerArea) KgPerHa() float64 { return float64(r) / 1e5 }

// GramsPerSquareMetre is the rate in g/m².
func (r RatePerArea) GramsPerSquareMetre() float64 { return float64(r) / 1e6 }

// PerSquareMetre is the density to the square metre.
func (d Density) PerSquareMetre() float64 { return float64(d) / 1e3 }

// PerSquareFoot is the density to the square foot.
func (d Density) PerSquareFoot() float64 { return float64(d) * 9.290304e-5 }

// MilesPerHour is the speed in mph.
func (v Speed) MilesPerHour() float64 { return float64(v) / 1609344 }

// KilometresPerHour is the speed in km/h.
func (v Speed) KilometresPerHour() float64 { return float64(v) / 1e6 }

// Float is the setting in marks of the dial.
func (d Dial) Float() float64 { return float64(d) / 1e3 }

// Float is the number of turns.
func (t Turns) Float() float64 { return float64(t) / 1e3 }

// Float is the reading in the counter's own unit.
func (r Reading) Float() float64 { return float64(r) / 1e3 }

// Float is the number of pieces.
func (c Count) Float() float64 { return float64(c) / 1e3 }

// Fraction is the share as a fraction of one.
func (s Share) Fraction() float64 { return float64(s) / 1e5 }

// Percent is the share in per cent.
func (s Share) Percent() float64 { return float64(s) / 1e3 }

// Float is the amount in the farm's money.
func (m Money) Float() float64 { return float64(m) / 100 }

// The functions below make a quantity from a float64 in the unit that they
// name, rounded half away from zero to the type's fixed unit. Each fails with
// an *Error where the value is not a number, below zero, or beyond the range
// that the parser of the same quantity gives.

// MassFromGrams takes g.
func MassFromGrams(g float64) (Mass, error) {
	v, err := fromFloat(massKind, g, 1e3, "g")
	return Mass(v), err
}

// MassFromPounds takes lb.
func MassFromPounds(lb float64) (Mass, error) {
	v, err := fromFloat(massKind, lb, 453592.37, "lb")
	return Mass(v), err
}

// LengthFromMetres takes m.
func LengthFromMetres(m float64) (Length, error) {
	v, err := fromFloat(lengthKind, m, 1e6, "m")
	return Length(v), err
}

// AreaFromSquareMetres takes m².
func AreaFromSquareMetres(m2 float64) (Area, error) {
	v, err := fromFloat(areaKind, m2, 1e4, "m2")
	return Area(v), err
}

// AreaFromAcres takes ac.
func AreaFromAcres(ac float64) (Area, error) {
	v, err := fromFloat(areaKind, ac, 40468564.224, "ac")
	return Area(v), err
}

// AreaFromHectares takes ha.
func AreaFromHectares(ha float64) (Area, error) {
	v, err := fromFloat(areaKind, ha, 1e8, "ha")
	return Area(v), err
}

// RateFromLbPerAcre takes lb/ac.
func RateFromLbPerAcre(r float64) (RatePerArea, error) {
	v, err := fromFloat(rateKind, r, 453592370/4046.8564224, "lb/ac")
	return RatePerArea(v), err
}

// RateFromGramsPerSquareMetre takes g/m².
func RateFromGramsPerSquareMetre(r float64) (RatePerArea, error) {
	v, err := fromFloat(rateKind, r, 1e6, "g/m2")
	return RatePerArea(v), err
}

// DensityFromSquareFoot takes a count to the square foot.
func DensityFromSquareFoot(n float64) (Density, error) {
	v, err := fromFloat(densityKind, n, 1e3/0.09290304, "/ft2")
	return Density(v), err
}

// DensityFromSquareMetre takes a count to the square metre.
func DensityFromSquareMetre(n float64) (Density, error) {
	v, err := fromFloat(densityKind, n, 1e3, "/m2")
	return Density(v), err
}

// ShareFromFraction takes a fraction of one.
func ShareFromFraction(f float64) (Share, error) {
	v, err := fromFloat(shareKind, f, 1e5, "of one")
	return Share(v), err
}

// DialFromFloat takes marks of the dial.
func DialFromFloat(d float64) (Dial, error) {
	v, err := fromFloat(dialKind, d, 1e3, "marks")
	return Dial(v), err
}

// TurnsFromFloat takes a number of turns.
func TurnsFromFloat(n float64) (Turns, error) {
	v, err := fromFloat(turnsKind, n, 1e3, "turns")
	return Turns(v), err
}

func fromFloat(k *kind, x, factor float64, unit string) (int64, error) {
	v := math.Round(x * factor)
	problem := ""
	switch {
	case math.IsNaN(v):
		problem = "is not a number"
	case v < 0:
		problem = "is below zero"
	case v > float64(k.max):
		problem = "is too great"
	default:
		return int64(v), nil
	}
	return 0, k.fail(strconv.FormatFloat(x, 'g', 6, 64)+" "+unit, problem, ErrRange)
}
