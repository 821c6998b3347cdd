package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/slip"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// What people ask of a farm, from the rooms below.
type (
	// Aim is the bulk rate that a plan puts through a box on one piece of ground.
	Aim = view.Aim
	// Asker is a device that asks to join: it has an enrolment here, and nobody
	// said yet whether it belongs.
	Asker = crew.Asker
	// Box is a seed box as it stands now.
	Box = view.Box
	// CaughtRate is a catch with the rate that it shows.
	CaughtRate = work.CaughtRate
	// ChartPoint is a point of the chart under the lid.
	ChartPoint = view.ChartPoint
	// Checklist is a list of checks.
	Checklist = work.Checklist
	// Choice is one way to settle a doubt.
	Choice = conflict.Choice
	// Curve is what a box gives of a lot at each dial: the fit, and the catches
	// and weighed runs behind it.
	Curve = work.Curve
	// Device is a device of the farm.
	Device = crew.Device
	// DialMarks are the marks on a dial of a box.
	DialMarks = work.DialMarks
	// Doubt is something that only a person can settle.
	Doubt = conflict.Doubt
	// DoubtKind names a kind of doubt.
	DoubtKind = conflict.DoubtKind
	// Drill is a drill and how its hitch stands.
	Drill = work.Drill
	// Errand is seed that somebody asked for, and how far it has come. Of what is
	// said apart the furthest counts, and there is no doubt about it: whoever sees
	// it come need not have heard that it was on the way.
	Errand = view.Errand
	// Ground is a piece of ground, its plan, and what was sown on it.
	Ground = view.Ground
	// HeldAgainst is the acres that a counter made of a piece of ground, held
	// against the piece's own area. Nothing follows by itself: a person decides.
	HeldAgainst = view.HeldAgainst
	// Hitch is how the hitch of a drill stands. Ready is true only where nothing
	// at all stands against it.
	Hitch = work.Hitch
	// Hold is a hold that was raised.
	Hold = work.Hold
	// HoldSeen is that a person saw a hold.
	HoldSeen = work.HoldSeen
	// Invite is an offer of a place, as the record names it.
	Invite = crew.Invite
	// LabelLine is one seed of a lot's label, named by species and variety. Shares
	// are 0 where the label does not say.
	LabelLine = view.LabelLine
	// Leftover is seed in a box that no plan puts there: at the dial as it is set
	// it goes out at a rate of its own, over so much ground.
	Leftover = view.Leftover
	// Line is one entry as the audit shows it.
	Line = view.Line
	// Lot is a seed lot.
	Lot = view.Lot
	// MarkRate is what a box gives at one mark of its dial.
	MarkRate = view.MarkRate
	// Member is a person of the crew.
	Member = view.Member
	// Minutes is a time as a range: 10th, 50th and 90th percentile.
	Minutes = view.Minutes
	// Missing is one thing that stands against a hitch.
	Missing = work.Missing
	// Moment is what was in a box after something happened to it, along the
	// counter.
	Moment = work.Moment
	// On is a device that somebody wrote on and that is another person's; zero
	// where they wrote on their own.
	On = crew.On
	// Out is seed of one lot that went out over a stretch, from one side of a box.
	Out = view.Out
	// Planned is one seed of a plan.
	Planned = view.Planned
	// Poured is what a fill by the measure comes to.
	Poured = view.Poured
	// Reading is a reading of a drill's counter.
	Reading = work.Reading
	// Seed is seed of one lot in a box, or in one side of it.
	Seed = view.Seed
	// SideDial is the dial of one compartment.
	SideDial = view.SideDial
	// SideNow is one compartment of a box as it stands now, by its own dial,
	// content and rows.
	SideNow = view.SideNow
	// Signed is a check that someone allowed to has signed for this hitch.
	Signed = work.Signed
	// Sown is seed of one lot that went onto a piece of ground, through one box.
	Sown = view.Sown
	// Spot is a spot of ground that somebody noted. Spots noted apart are all
	// there, and none is in doubt: two may have seen one stone. It is gone once
	// anybody who may says so.
	Spot = view.Spot
	// Spread is an area as a range: 10th, 50th and 90th percentile.
	Spread = view.Spread
	// Drained is seed of one lot let out of a box.
	Drained = work.Drained
	// View is the state of a farm at one moment, as people read it. It never
	// changes; treat its slices as read only.
	View = view.View
	// Wait is the first entry of a log that waits, and an entry that it waits for.
	Wait = order.Wait
)

// The kinds of doubt.
const (
	TwoSettings    = conflict.TwoSettings
	DoubleEntry    = conflict.DoubleEntry
	TwoPlans       = conflict.TwoPlans
	UnprovedRate   = conflict.UnprovedRate
	CounterBack    = conflict.CounterBack
	CounterBegin   = conflict.CounterBegin
	TwoBegins      = conflict.TwoBegins
	TwoPieces      = conflict.TwoPieces
	Balance        = conflict.Balance
	MixedLots      = conflict.MixedLots
	TwoSeeds       = conflict.TwoSeeds
	WorkedUnready  = conflict.WorkedUnready
	NoRight        = conflict.NoRight
	AfterStop      = conflict.AfterStop
	SameName       = conflict.SameName
	WrongClock     = conflict.WrongClock
	Forked         = conflict.Forked
	AmendedApart   = conflict.AmendedApart
	OneInvite      = conflict.OneInvite
	UnlikelyCatch  = conflict.UnlikelyCatch
	OverFull       = conflict.OverFull
	LittlePoured   = conflict.LittlePoured
	PouredTwice    = conflict.PouredTwice
	LevelTooHigh   = conflict.LevelTooHigh
	LevelTooLow    = conflict.LevelTooLow
	OverDrained    = conflict.OverDrained
	MoreThanCame   = conflict.MoreThanCame
	NearName       = conflict.NearName
	SameDial       = conflict.SameDial
	UnlikelyDial   = conflict.UnlikelyDial
	UnlikelyRate   = conflict.UnlikelyRate
	UnlikelyWidth  = conflict.UnlikelyWidth
	OtherSpecies   = conflict.OtherSpecies
	TooManyAcres   = conflict.TooManyAcres
	TooFast        = conflict.TooFast
	TooFarBack     = conflict.TooFarBack
	RanDry         = conflict.RanDry
	NearSpecies    = conflict.NearSpecies
	ChangedSpecies = conflict.ChangedSpecies
	OtherLabel     = conflict.OtherLabel
	UnclearCoating = conflict.UnclearCoating
	FinishedEarly  = conflict.FinishedEarly
)

// AboutRights says whether entries of a kind say who belongs, or who may do what.
func AboutRights(k entry.Kind) bool { return rule.AboutCrew(k) }

// Amendable says whether an entry of a kind may be given another body. A
// signature, a release or a move of the drill is written again, not reworded.
func Amendable(k entry.Kind) bool { return rule.Amendable(k) }

// CatchOf is a catch as the rate engine takes it, on a drill.
func CatchOf(c *entry.Caught, d Drill) rate.Catch { return work.CatchOf(c, d) }

// ErrNoMark is returned for what does not stand on a dial that has marks.
var ErrNoMark = work.ErrNoMark

// FastestDrill is a speed at which no drill sows.
const FastestDrill = slip.FastestDrill

// MarkedDial is the setting of a mark's place, counted from 0.
func MarkedDial(place int) units.Dial { return work.MarkedDial(place) }

// PublishedRates is the lowest and the highest rate that is published for a
// species, alone or in a mixture, and by whom.
func PublishedRates(species string) (low, high units.RatePerArea, source string, ok bool) {
	return slip.PublishedRates(species)
}

// Rings reads a boundary as the farm's view shows it: corners parted by
// commas, rings by semicolons. Each ring comes back closed by its first
// corner.
func Rings(boundary string) ([][]rate.Point, error) { return view.Rings(boundary) }

// Strikable says whether an entry of a kind may be struck. What keeps people
// safe, and who belongs to the farm, may not.
func Strikable(k entry.Kind) bool { return rule.Strikable(k) }

// UnlikelyLength says why a drill's "spacing", "width" or "wheel_roll" is unlikely
// to be so, and what may have been meant, likeliest first. It is false where drills
// have such.
func UnlikelyLength(field string, l units.Length) (why message.Message, meant []units.Length, unlikely bool) {
	return slip.UnlikelyLength(field, l)
}
