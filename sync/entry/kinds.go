package entry

import "iter"

// The kinds of body, by their field numbers in the schema. The commonest have
// the numbers that take one byte.
const (
	KindFilled         Kind = 7
	KindMeterRead      Kind = 8
	KindDialMoved      Kind = 9
	KindCaught         Kind = 10
	KindNoted          Kind = 11
	KindLevelRead      Kind = 12
	KindItemSigned     Kind = 13
	KindHoldRaised     Kind = 14
	KindHoldReleased   Kind = 15
	KindFarmFounded    Kind = 16
	KindInvited        Kind = 17
	KindDeviceEnrolled Kind = 18
	KindMemberAdded    Kind = 19
	KindMemberChanged  Kind = 20
	KindMemberStopped  Kind = 21
	KindDeviceStopped  Kind = 22
	KindDeviceTakenIn  Kind = 23
	KindGroundSet      Kind = 24
	KindDrillSet       Kind = 25
	KindBoxSet         Kind = 26
	KindChartPointSet  Kind = 27
	KindLotSet         Kind = 28
	KindBagsIn         Kind = 29
	KindBagsOut        Kind = 30
	KindPlanSet        Kind = 31
	KindChecksSet      Kind = 32
	KindHitchBegun     Kind = 33
	KindDrillMoved     Kind = 34
	KindUnhitched      Kind = 35
	KindDrained        Kind = 36
	KindCounterReset   Kind = 37
	KindStandCounted   Kind = 38
	KindAmended        Kind = 39
	KindStruck         Kind = 40
	KindSettled        Kind = 41
	KindCounterStood   Kind = 42
	KindGroundFinished Kind = 43
	KindDialMarked     Kind = 44
	KindVolumeWeighed  Kind = 45
	KindVolumeFilled   Kind = 46
	KindLabelSet       Kind = 47
	KindRecovered      Kind = 48
	KindAdmitted       Kind = 49
	KindPinned         Kind = 50
	KindErrand         Kind = 51
	KindHoldSeen       Kind = 52
)

// LastKind is the last kind that this version knows.
const LastKind = Kind(len(kinds) - 1)

// kinds is the one list of what this version knows: a kind's name for people
// and for filters, and empty bodies to read into. What holds for entries of a
// kind stands in a table of each package that it concerns.
var kinds = [...]kindDef{
	KindFilled:         kindOf[Filled]("filled"),
	KindMeterRead:      kindOf[MeterRead]("meter-read"),
	KindDialMoved:      kindOf[DialMoved]("dial-moved"),
	KindCaught:         kindOf[Caught]("caught"),
	KindNoted:          kindOf[Noted]("noted"),
	KindLevelRead:      kindOf[LevelRead]("level-read"),
	KindItemSigned:     kindOf[ItemSigned]("item-signed"),
	KindHoldRaised:     kindOf[HoldRaised]("hold-raised"),
	KindHoldReleased:   kindOf[HoldReleased]("hold-released"),
	KindFarmFounded:    kindOf[FarmFounded]("farm-founded"),
	KindInvited:        kindOf[Invited]("invited"),
	KindDeviceEnrolled: kindOf[DeviceEnrolled]("device-enrolled"),
	KindMemberAdded:    kindOf[MemberAdded]("member-added"),
	KindMemberChanged:  kindOf[MemberChanged]("member-changed"),
	KindMemberStopped:  kindOf[MemberStopped]("member-stopped"),
	KindDeviceStopped:  kindOf[DeviceStopped]("device-stopped"),
	KindDeviceTakenIn:  kindOf[DeviceTakenIn]("device-taken-in"),
	KindGroundSet:      kindOf[GroundSet]("ground-set"),
	KindDrillSet:       kindOf[DrillSet]("drill-set"),
	KindBoxSet:         kindOf[BoxSet]("box-set"),
	KindChartPointSet:  kindOf[ChartPointSet]("chart-point-set"),
	KindLotSet:         kindOf[LotSet]("lot-set"),
	KindBagsIn:         kindOf[BagsIn]("bags-in"),
	KindBagsOut:        kindOf[BagsOut]("bags-out"),
	KindPlanSet:        kindOf[PlanSet]("plan-set"),
	KindChecksSet:      kindOf[ChecksSet]("checks-set"),
	KindHitchBegun:     kindOf[HitchBegun]("hitch-begun"),
	KindDrillMoved:     kindOf[DrillMoved]("drill-moved"),
	KindUnhitched:      kindOf[Unhitched]("unhitched"),
	KindDrained:        kindOf[Drained]("drained"),
	KindCounterReset:   kindOf[CounterReset]("counter-reset"),
	KindStandCounted:   kindOf[StandCounted]("stand-counted"),
	KindAmended:        kindOf[Amended]("amended"),
	KindStruck:         kindOf[Struck]("struck"),
	KindSettled:        kindOf[Settled]("settled"),
	KindCounterStood:   kindOf[CounterStood]("counter-stood"),
	KindGroundFinished: kindOf[GroundFinished]("ground-finished"),
	KindDialMarked:     kindOf[DialMarked]("dial-marked"),
	KindVolumeWeighed:  kindOf[VolumeWeighed]("volume-weighed"),
	KindVolumeFilled:   kindOf[VolumeFilled]("volume-filled"),
	KindLabelSet:       kindOf[LabelSet]("label-set"),
	KindRecovered:      kindOf[Recovered]("recovered"),
	KindAdmitted:       kindOf[Admitted]("admitted"),
	KindPinned:         kindOf[Pinned]("pinned"),
	KindErrand:         kindOf[Errand]("errand"),
	KindHoldSeen:       kindOf[HoldSeen]("hold-seen"),
}

type kindDef struct {
	name string
	make func() Body
	many func(into []Body) // the last is the first in memory
}

func kindOf[T any, P interface {
	*T
	Body
}](name string) kindDef {
	return kindDef{
		name: name,
		make: func() Body { return P(new(T)) },
		many: func(into []Body) {
			room := make([]T, len(into))
			for i := range into {
				into[len(into)-1-i] = P(&room[i])
			}
		},
	}
}

// def is a kind's; one without a name is not known to this version.
func (k Kind) def() *kindDef {
	if k > LastKind {
		k = 0
	}
	return &kinds[k]
}

// String is the kind's name for people and for filters, such as "filled".
func (k Kind) String() string {
	if d := k.def(); d.name != "" {
		return d.name
	}
	return "unknown"
}

// New is an empty body of the kind, or nil where this version does not know it.
func New(k Kind) Body {
	if d := k.def(); d.make != nil {
		return d.make()
	}
	return nil
}

// A Maker makes empty bodies as [New] does, in less time and memory, for who
// reads very many and keeps them all.
type Maker struct {
	made [LastKind + 1][]Body // not given out yet, the next one last
}

// makerMost is the most bodies of a kind that are made at a time.
const makerMost = 64

// New is an empty body of the kind, or nil where this version does not know it.
func (m *Maker) New(k Kind) Body {
	d := k.def()
	if d.make == nil {
		return nil
	}
	left := &m.made[k]
	if len(*left) == 0 {
		if cap(*left) < makerMost { // twice as many as before: some kinds come once in a record
			*left = make([]Body, max(1, 2*cap(*left)))
		}
		*left = (*left)[:cap(*left)]
		d.many(*left)
	}
	last := len(*left) - 1
	b := (*left)[last]
	*left = (*left)[:last]
	return b
}

// Kinds are the kinds that this version knows, in order of their numbers.
func Kinds() iter.Seq[Kind] {
	return func(yield func(Kind) bool) {
		for k := range Kind(len(kinds)) {
			if kinds[k].make != nil && !yield(k) {
				return
			}
		}
	}
}

// ParseKind finds a kind by its name.
func ParseKind(name string) (Kind, bool) {
	for k := range Kinds() {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}
