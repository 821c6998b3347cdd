// Package rate is the seeding arithmetic, from the tag on a bag to the plants
// that stand. It is made of pure functions on the quantities of package units:
// no clock, no files, nothing kept between calls.
//
// # The story of a sowing
//
// A Tag says how much of a bag is live seed. With it Bulk turns the live rate
// that was advised into the bulk rate that goes through the drill, a Mix puts
// several seeds into one box, and an Order turns rates and ground into whole
// bags and money. The built-in Species table gives what was published on each
// seed, with its source; a bag's own tag stands above it.
//
// TurnsPerAcre and a Run say what ground a number of turns of the drill's wheel
// stands for, and a Catch what rate the seed caught over it shows.
//
// FitBox brings a box's chart and its catches together: the chart gives the
// curve its shape, the catches its level and bend; slips are set aside. The Fit says what the box
// gives at a dial (RateAt), where to set the dial for a rate (DialFor), and
// whether to go or to catch once more. What really went out over a stretch of
// ground (Stretch) comes back into the fit as one more measurement, and
// DriftFrom says how sure it is that the rate has moved.
//
// SeedIn follows the seed in a box by compartment and lot, UntilDry says how
// far it goes and which side is dry first, ToFinish what to pour so that least
// is left over, BurnOff where leftover seed of another kind goes out.
//
// Afterwards ComeUpFrom says when to look for plants, StandOf and FrequencyGrid
// what the counts mean, and PieceArea how large a piece of ground is.
//
// # Uncertainty
//
// A rate has a Spread: the variance of its natural logarithm and how many
// degrees of freedom that rests on. Spreads add in squares as the Guide to the
// Expression of Uncertainty in Measurement (JCGM 100:2008) says, and become
// intervals by Student's t: 90 % for rates, 95 % for stands. What drills were
// found to do stands in until a crew's own catches take over; spreadconstants.go
// has every such figure with its source. The intervals are held to what they
// claim by simulation over the published spread of drills: a single drill that
// repeats far better or worse than most is covered more, or less, often.
//
// # The same digits everywhere
//
// Sums that a record rests on are whole numbers (see units.MulDiv). What is
// computed for showing uses float64, but only + − × ÷ and the functions of
// package math that every processor rounds alike; each product that is added
// is rounded first by an explicit conversion, since a processor that
// multiplies and adds in one step would round once where others round twice.
// So amd64, arm64 and wasm show the same figures to the last digit.
//
// # Errors
//
// A figure that cannot be is refused with a RangeError that names it, its value
// and what it may be. Nothing is moved into range in silence.
package rate
