package thing

// Fields of a drill and of a piece of ground, by their numbers in the schema.
const (
	DrillName         = 2
	DrillRows         = 3
	DrillSpacing      = 4
	DrillWidth        = 5
	DrillRoll         = 6
	DrillWheelTurns   = 7
	DrillCounter      = 8
	DrillCounterTurns = 9

	GroundName  = 2
	GroundArea  = 3
	GroundSlope = 4
	GroundState = 5
	GroundNotes = 6
	GroundSpray = 7
	GroundRings = 8
)

// Fields of a box and of a lot, by their numbers in the schema; BoxDrill keeps
// the drill's ID as text.
const (
	BoxDrill    = 2
	BoxName     = 3
	BoxMeter    = 4
	BoxDialFrom = 5
	BoxDialTo   = 6
	BoxCapacity = 7
	BoxSides    = 8
	BoxRowsFed  = 9
	BoxOwnDials = 10

	LotName       = 2
	LotSpecies    = 3
	LotVariety    = 4
	LotTested     = 5
	LotBag        = 6
	LotPrice      = 7
	LotInoculant  = 8
	LotEndophyte  = 9
	LotSeedsPerKg = 10
	LotBagPrinted = 11
)
