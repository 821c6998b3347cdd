package rate

// What the engine takes a drill to be until it knows better. Shares are
// standard deviations of a natural logarithm: 0.025 is 2.5 %. A weight is how
// many readings of its own a drill needs before they count for as much as the
// figure here. Where no source is named, none was found.
const (
	// repeatSpread is how far repeat catches of one drill differ: coefficients
	// of variation of 0.3 to 5.5 % in the laboratory (Yazgi and others, PeerJ
	// 13:e19014, 2025; Applied Engineering in Agriculture 33(1), ASABE 2017),
	// with a limit of 2.6 % for seeders of small round seed (DB32/T 1026-2007).
	repeatSpread = 0.025
	// repeatWeight lets nine drills in ten lie between 1.6 and 5.9 %. Our own.
	repeatWeight = 4

	// rowSpread is how far the rows of one drill differ: 1.1 to 10.7 % (the same
	// two), 5.63 to 7.60 % (Alberta Farm Machinery Research Centre, eng8256),
	// with a limit of 5.2 % (DB32/T 1026-2007).
	rowSpread = 0.07
	// rowWeight is what rowSpread counts for, in rows. Our own.
	rowWeight = 8

	// rollSpread is how far the distance that a wheel makes in the field lies
	// from its turns times its measured roll, and a taped distance from the
	// true one. Common practice.
	rollSpread = 0.01

	// chartSpread is how far a chart lies from what a box gives: 10 % and more
	// (McNeill, University of Kentucky), 25 to 50 % (Mississippi State
	// University Extension, P3112).
	chartSpread = 0.25

	// bendSpread is how far a box's curve bends away from its chart, for each
	// step of the chart's rate by a factor of e; plainBendSpread is the same
	// for a box without a chart, whose rate is taken in proportion to its dial.
	// Common practice.
	bendSpread      = 0.10
	plainBendSpread = 0.30

	// fieldShare is what goes out in the field of what a standing catch says:
	// 85 to 96 % for five kinds of seed at one station (Yousif, University of
	// Gezira, article 575), drawn towards 1, since other drills are not known.
	// fieldSpread is how far a drill lies from it. Our own.
	fieldShare  = 0.96
	fieldSpread = 0.07

	// counterSpread is how far a drill's counter lies from the ground it went
	// over: a ground wheel skidded by 4.53 % (Nirala, International Journal of
	// Agricultural Engineering 4(2), 2011). checkedCounterSpread is what is
	// left once it was held against a mapped piece. Our own.
	counterSpread        = 0.03
	checkedCounterSpread = 0.01

	// stretchSpread is how far one stretch of ground differs from the next.
	// Common practice.
	stretchSpread = 0.01

	// otherLotSpread is how far another lot of the same kind of seed lies from
	// this one at one setting: 17 lots went out at 15 to 20.8 lb/ac (Undersander,
	// University of Wisconsin, in Hay & Forage Grower), and 17 values lie 3.59
	// standard deviations apart from end to end (ASTM's table of d2).
	otherLotSpread = 0.09

	// clumpSpread is how much more than chance plants clump, as a variance over
	// the square of the mean; clumpWeight is what it counts for, in frames.
	// Common practice.
	clumpSpread = 0.3
	clumpWeight = 2

	// paceSpread is how far a pace lies from that of the last stretch. Common
	// practice.
	paceSpread = 0.10

	// rateFloor is the narrowest interval, either way, that a rate is ever
	// given: that of rollSpread alone.
	rateFloor = 0.017
)
