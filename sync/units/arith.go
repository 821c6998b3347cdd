package units

// The sums below are exact up to one rounding (see MulDiv), so that every
// replica gets the same integer.

// squareCentimetresPerMilligramStep turns µg/m² × cm² into mg: 10,000 cm² to
// the square metre times 1,000 µg to the milligram.
const squareCentimetresPerMilligramStep = 10_000_000

// Over is the rate at which a mass spread over an area went out. It fails with
// ErrOverflow, or where the area is zero.
func (m Mass) Over(a Area) (RatePerArea, error) {
	v, err := MulDiv(int64(m), squareCentimetresPerMilligramStep, int64(a))
	return RatePerArea(v), err
}

// At is the area that a mass covers at a rate. It fails with ErrOverflow, or
// where the rate is zero.
func (m Mass) At(r RatePerArea) (Area, error) {
	v, err := MulDiv(int64(m), squareCentimetresPerMilligramStep, int64(r))
	return Area(v), err
}

// On is the mass that a rate puts on an area. It fails with ErrOverflow.
func (r RatePerArea) On(a Area) (Mass, error) {
	v, err := MulDiv(int64(r), int64(a), squareCentimetresPerMilligramStep)
	return Mass(v), err
}

// OfMass is a share of a mass. It fails with ErrOverflow.
func (s Share) OfMass(m Mass) (Mass, error) {
	v, err := MulDiv(int64(m), int64(s), int64(Whole))
	return Mass(v), err
}

// OfRate is a share of a rate. It fails with ErrOverflow.
func (s Share) OfRate(r RatePerArea) (RatePerArea, error) {
	v, err := MulDiv(int64(r), int64(s), int64(Whole))
	return RatePerArea(v), err
}

// Times is a mass so many times over, such as bags of one mass. It fails with
// ErrOverflow.
func (m Mass) Times(n Count) (Mass, error) {
	v, err := MulDiv(int64(m), int64(n), 1000)
	return Mass(v), err
}
