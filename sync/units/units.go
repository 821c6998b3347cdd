// Package units holds the quantities that a seeding record is made of, each a
// type of its own over an integer in a small fixed unit, so that a mass can
// never be taken for a rate and no sum depends on the order of its terms.
//
// Exact definitions: 1 ft = 0.3048 m, 1 acre = 43,560 ft² (international
// foot), 1 lb = 453.59237 g, 1 US bushel = 2150.42 in³ (NIST Special
// Publication 811, Appendix B; NIST Handbook 44, Appendix C).
//
// Each type has a parser for what people write (ParseRate takes "23 lb/ac"), a
// Format that rounds for reading in US or metric units, and a String that
// gives the exact value so that it reads back as the same. Text is read
// exactly and rounded once; MulDiv is the one way to multiply and divide.
// Floats come in and go out through methods that name their unit.
package units

// Mass is a mass in milligrams.
type Mass int64

// Length is a length in micrometres.
type Length int64

// Area is an area in square centimetres.
type Area int64

// Volume is a volume in millilitres.
type Volume int64

// RatePerArea is a mass of seed for each area, in micrograms per square metre
// (1 lb/ac is about 112,085; 1 kg/ha is 100,000).
type RatePerArea int64

// Density is a count for each area, in thousandths of a seed (or plant) per
// square metre.
type Density int64

// Dial is a setting of a seed box's dial, in thousandths of its marks.
type Dial int64

// Turns is a number of turns of a wheel or shaft, in thousandths.
type Turns int64

// Reading is what a drill's counter shows, in thousandths of its own unit
// (acres, or turns of the shaft it counts).
type Reading int64

// Share is a part of a whole, in thousandths of one per cent (100,000 is the
// whole).
type Share int64

// Count is a number of bags or pieces, in thousandths.
type Count int64

// Money is an amount in hundredths of the farm's money unit.
type Money int64

// Whole is the Share that stands for all of something (100 %).
const Whole Share = 100_000
