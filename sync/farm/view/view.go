package view

import (
	"iter"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// View is the state of a farm at one moment, as people read it. It never
// changes; treat its slices as read only.
type View struct {
	Farm      entry.FarmID
	Name      string
	TimeZone  string
	Metric    bool
	MoneySign string
	Entries   int // all that are here
	Waiting   int // of these, whose causes are not here yet
	Crew      []Member
	Devices   []crew.Device
	Drills    []work.Drill
	Boxes     []Box
	Grounds   []Ground
	Lots      []Lot
	Checks    []work.Checklist
	Spots     []Spot   // of ground, those that are gone too
	Errands   []Errand // seed that was asked for, what is there too
	Open      int      // doubts that nobody has settled

	doubts iter.Seq[conflict.Doubt]
	names  map[entry.ID]string
}

// System is the units that the farm shows.
func (v *View) System() units.System {
	if v.Metric {
		return units.Metric
	}
	return units.US
}

// Member is a person of the crew.
type Member struct {
	ID      entry.ID
	Name    string
	Role    entry.Role
	Stopped bool
}

// Box is a seed box as it stands now.
type Box struct {
	ID        entry.ID
	Drill     entry.ID
	Name      string
	Meter     string
	DialFrom  units.Dial
	DialTo    units.Dial       // lower than DialFrom where more is less
	Marks     []work.DialMarks // of dials that have marks in place of numbers
	Capacity  units.Volume
	Sides     []string
	RowsFed   []int64 // rows that each side feeds; none where all feed alike
	OwnDials  bool
	Chart     []ChartPoint
	Dial      units.Dial
	DialSet   bool
	SideDials []SideDial
	SidesNow  []SideNow  // each side by itself: a box of one compartment has one
	Seed      []Seed     // what is in it, by lot and side, bottom first
	Left      units.Mass // in all
	LeftStd   units.Mass // standard uncertainty of Left
	LeftOpen  bool       // some went out at no known rate since the contents were known: Left is the most
	LeftLow   units.Mass // Left's 90 % interval, never below nothing
	LeftHigh  units.Mass
	Full      units.Mass         // what it holds when full of the seed in it, by its bushel weight; 0 where that is not known
	Rate      *rate.RateEstimate // at the dial, of the seed at the bottom: by the crank until a run was weighed, then in the field; nil where nothing says
	Basis     rate.Basis         // what the rate rests on
	Field     *rate.RateEstimate // the rate in the field, to the true acre; nil where nothing says
	Weighed   bool               // a run that was weighed tells of it
	AcresLeft *Spread            // area until the first side runs dry; nil where no rate is known
	DryFrom   units.Reading      // what the counter shows when it may be dry, at the earliest: 0 where that is not known
	DryTo     units.Reading      // and at the latest
	DryFirst  int64              // the side that runs dry first, from 1; 0 where there is one
	Aim       units.RatePerArea  // bulk rate of the plan of the ground being worked; 0 where none
	Aims      []Aim              // the same of each piece that it is planned for and that is not finished
	Out       []Out              // what went out, stretch by stretch along the counter
	Drained   []work.Drained     // what was let out
	Measured  []Poured           // what was poured by the measure
	Mixed     []string           // the species that it gives together; none where it gives one alone
	Gap       units.Mass         // poured in − went out − let out − left: what the books cannot place
	LastOut   *rate.RateEstimate // the rate that really went out, last time it was weighed, to the counter's acre
	Drift     *rate.Drift        // of LastOut from what chart and catches say
	OffChart  float64            // how many times what the chart says the catches show, where the two disagree beyond their doubts and no run was weighed; else 0
	Moved     *rate.Drift        // of LastOut from the weighed runs before it, at the same dial; nil where there are none

	AimMarks    []MarkRate        // of a dial with marks: those around the aim of which the rate is known, the lower rate first
	ForAim      *rate.DialChoice  // the dial for Aim, and whether to go or catch once more; nil where nothing says
	CatchAim    units.RatePerArea // what a catch shows where Aim goes out in the field: Aim until a run was weighed; 0 where there is no aim
	MinutesLeft *Minutes          // until the first side runs dry, at the drill's pace; nil where that is not known
	Working     entry.ID          // the ground that Finish is about
	Finish      *rate.Finish      // what to pour to finish it; nil where that is not known
	Leftover    []Leftover        // seed in it that no plan puts there
	Events      []entry.ID        // the entries behind all this, in order
}

// Aim is the bulk rate that a plan puts through a box on one piece of ground.
type Aim struct {
	Ground entry.ID
	Rate   units.RatePerArea
}

// SideDial is the dial of one compartment.
type SideDial struct {
	Side int64
	Dial units.Dial
}

// ChartPoint is a point of the chart under the lid.
type ChartPoint struct {
	Species string
	Dial    units.Dial
	Rate    units.RatePerArea
	Printed string // as it is printed, where that is no mass over an area
}

// Seed is seed of one lot in a box, or in one side of it.
type Seed struct {
	Lot  entry.ID
	Side int64 // 0 where the box has one compartment
	Mass units.Mass
}

// Out is seed of one lot that went out over a stretch, from one side of a box.
type Out struct {
	Reading  entry.ID // that ended the stretch
	From, To units.Reading
	Ground   entry.ID
	Lot      entry.ID
	Side     int64
	Dial     units.Dial
	DialSet  bool               // somebody wrote the dial
	Rate     *rate.RateEstimate // it was metered at; nil where nothing says
	Area     units.Area         // 0 for the second lot and on of one stretch
	Mass     units.Mass         // put right by what was seen in the box
	Std      units.Mass         // standard uncertainty of Mass
	Proved   bool               // a catch, or a weighed run, backs the rate
	Unknown  bool               // no rate was known, and nothing was weighed since: Mass is not what went out
	Checked  bool               // the counter was held against a finished piece and corrected by then
}

// Poured is what a fill by the measure comes to.
type Poured struct {
	Entry entry.ID
	Mass  units.Mass // 0 where what a measure weighs is not known
}

// Spread is an area as a range: 10th, 50th and 90th percentile.
type Spread struct{ P10, P50, P90 units.Area }

// Ground is a piece of ground, its plan, and what was sown on it.
type Ground struct {
	ID       entry.ID
	Name     string
	Area     units.Area
	Slope    units.Share
	SlopeSet bool
	State    string
	Notes    string
	Spray    string
	Boundary string
	Done     units.Area // by the counter; the least, where Open
	Finished bool       // by what people wrote
	Open     bool       // how much was done is not known: nobody said where the counter stood when work began
	Sown     []Sown
	Plan     []Planned
	Depth    units.Length
	Nurse    string
	Stands   []entry.ID
	Events   []entry.ID
	Back     []entry.ID // of the drills' Back, those that may bear on it
	// FinishedBy is the entry by which it is finished; zero where it is not.
	FinishedBy entry.ID
}

// Sown is seed of one lot that went onto a piece of ground, through one box.
type Sown struct {
	Lot, Box entry.ID
	Mass     units.Mass
	Area     units.Area
	Unknown  units.Area        // of Area, where no rate was known: what went out there is not in Mass
	Rate     units.RatePerArea // Mass over the piece's area done; 0 where that is not known
	Aim      units.RatePerArea // bulk; 0 where the plan names none
	Std      units.Mass        // standard uncertainty of Mass
}

// Planned is one seed of a plan.
type Planned struct {
	Lot, Box entry.ID
	Live     units.RatePerArea // aimed at, live seed; from seeds per area where that was set
	Seeds    units.Density
	Bulk     units.RatePerArea // from the lot's tag; 0 where the tag does not say
	Why      message.Message   // why Bulk is not known
}

// Lot is a seed lot.
type Lot struct {
	ID         entry.ID
	Name       string
	Species    string
	Variety    string
	Label      []LabelLine // what its label says, the greatest share first
	Tag        rate.Tag    // of a label of one line; without purity where it has none or several
	Tagged     bool        // purity and germination are known
	OtherCrop  units.Share
	WeedSeed   units.Share
	Inert      units.Share
	Tested     int64 // days since 1970; 0 where not set
	Bag        units.Mass
	Price      units.Money
	Inoculant  string
	Endophyte  string
	BagPrinted string // as it was written, where that is no mass
	SeedsPerKg int64
	BagsIn     units.Count
	BagsOut    units.Count
	Filled     units.Mass // poured into boxes
	Events     []entry.ID
}

// LabelLine is one seed of a lot's label, named by species and variety. Shares
// are 0 where the label does not say.
type LabelLine struct {
	Species, Variety                  string
	Share, Germination, Hard, Coating units.Share
}

// Doubts is all that is in doubt, and what was and is settled: the open ones
// first.
func (v *View) Doubts() iter.Seq[conflict.Doubt] {
	if v.doubts == nil { // of no farm
		return func(func(conflict.Doubt) bool) {}
	}
	return v.doubts
}

// Doubted puts what is in doubt into a view that was made, and how much of it is
// open.
func Doubted(v *View, all iter.Seq[conflict.Doubt], open int) { v.doubts, v.Open = all, open }

// NameOf is what the crew calls a thing or a person: its ID where it has no name.
func (v *View) NameOf(id entry.ID) string {
	if n := v.names[id]; n != "" {
		return n
	}
	if id.IsZero() {
		return ""
	}
	return id.Short()
}

// MemberNamed finds the person of a name who is not stopped.
func (v *View) MemberNamed(name string) (Member, bool) {
	return find(v.Crew, func(m *Member) bool { return m.Name == name && !m.Stopped })
}

// BoxNamed finds a box by its name, on one drill where drill is not zero.
func (v *View) BoxNamed(drill entry.ID, name string) (Box, bool) {
	return find(v.Boxes, func(b *Box) bool { return b.Name == name && (drill.IsZero() || b.Drill == drill) })
}

// GroundNamed finds a piece of ground by its name.
func (v *View) GroundNamed(name string) (Ground, bool) {
	return find(v.Grounds, func(g *Ground) bool { return g.Name == name })
}

// LotNamed finds a lot by its name.
func (v *View) LotNamed(name string) (Lot, bool) {
	return find(v.Lots, func(l *Lot) bool { return l.Name == name })
}

// DrillNamed finds a drill by its name.
func (v *View) DrillNamed(name string) (work.Drill, bool) {
	return find(v.Drills, func(d *work.Drill) bool { return d.Name == name })
}

// LotOf finds a lot by its ID.
func (v *View) LotOf(id entry.ID) (Lot, bool) {
	return find(v.Lots, func(l *Lot) bool { return l.ID == id })
}

// BoxOf finds a box by its ID.
func (v *View) BoxOf(id entry.ID) (Box, bool) {
	return find(v.Boxes, func(b *Box) bool { return b.ID == id })
}

// GroundOf finds a piece of ground by its ID.
func (v *View) GroundOf(id entry.ID) (Ground, bool) {
	return find(v.Grounds, func(g *Ground) bool { return g.ID == id })
}

// DrillOf finds a drill by its ID.
func (v *View) DrillOf(id entry.ID) (work.Drill, bool) {
	return find(v.Drills, func(d *work.Drill) bool { return d.ID == id })
}

func find[T any](list []T, is func(*T) bool) (T, bool) {
	i := slices.IndexFunc(list, func(t T) bool { return is(&t) })
	if i < 0 {
		var none T
		return none, false
	}
	return list[i], true
}

// Line is one entry as the audit shows it.
type Line struct {
	ID      entry.ID
	Wall    int64 // ms since 1970, by the device's own clock
	Clock   int64 // ms since 1970, by the hybrid clock
	Person  entry.ID
	By      string  // the person's name
	Device  string  // the device's name
	On      crew.On // the same, where the device is another person's
	Kind    entry.Kind
	What    message.Message
	Struck  bool
	Amended bool
	LeftOut message.ID // why it is left out of the state; "" where it counts
	Needs   entry.Role // the role that it asks for, where it is left out since its writer has less
	Void    message.ID // of a signature: why it does not count for its hitch; "" where it does, or did until the hitch ended
	Ended   int64      // of a signature that counted until its hitch ended: the wall clock of what ended it, in ms since 1970
	About   []entry.ID // the things and entries that it is about
	Body    entry.Body
	Now     entry.Body // what it stands for now; nil where it stands for nothing
}

// NotSigned says whether a line is a signature that does not count, and never
// did.
func (l *Line) NotSigned() bool {
	return l.Kind == entry.KindItemSigned && (l.LeftOut != "" || l.Void != "")
}
