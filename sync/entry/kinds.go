package entry

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

	// LastKind is the last kind that this version knows.
	LastKind = KindSettled
)

// kinds is the one list of what this version knows: a kind's name for people
// and for filters, and an empty body to read into.
var kinds = map[Kind]struct {
	name string
	make func() Body
}{
	KindFilled:         {"filled", func() Body { return new(Filled) }},
	KindMeterRead:      {"meter-read", func() Body { return new(MeterRead) }},
	KindDialMoved:      {"dial-moved", func() Body { return new(DialMoved) }},
	KindCaught:         {"caught", func() Body { return new(Caught) }},
	KindNoted:          {"noted", func() Body { return new(Noted) }},
	KindLevelRead:      {"level-read", func() Body { return new(LevelRead) }},
	KindItemSigned:     {"item-signed", func() Body { return new(ItemSigned) }},
	KindHoldRaised:     {"hold-raised", func() Body { return new(HoldRaised) }},
	KindHoldReleased:   {"hold-released", func() Body { return new(HoldReleased) }},
	KindFarmFounded:    {"farm-founded", func() Body { return new(FarmFounded) }},
	KindInvited:        {"invited", func() Body { return new(Invited) }},
	KindDeviceEnrolled: {"device-enrolled", func() Body { return new(DeviceEnrolled) }},
	KindMemberAdded:    {"member-added", func() Body { return new(MemberAdded) }},
	KindMemberChanged:  {"member-changed", func() Body { return new(MemberChanged) }},
	KindMemberStopped:  {"member-stopped", func() Body { return new(MemberStopped) }},
	KindDeviceStopped:  {"device-stopped", func() Body { return new(DeviceStopped) }},
	KindDeviceTakenIn:  {"device-taken-in", func() Body { return new(DeviceTakenIn) }},
	KindGroundSet:      {"ground-set", func() Body { return new(GroundSet) }},
	KindDrillSet:       {"drill-set", func() Body { return new(DrillSet) }},
	KindBoxSet:         {"box-set", func() Body { return new(BoxSet) }},
	KindChartPointSet:  {"chart-point-set", func() Body { return new(ChartPointSet) }},
	KindLotSet:         {"lot-set", func() Body { return new(LotSet) }},
	KindBagsIn:         {"bags-in", func() Body { return new(BagsIn) }},
	KindBagsOut:        {"bags-out", func() Body { return new(BagsOut) }},
	KindPlanSet:        {"plan-set", func() Body { return new(PlanSet) }},
	KindChecksSet:      {"checks-set", func() Body { return new(ChecksSet) }},
	KindHitchBegun:     {"hitch-begun", func() Body { return new(HitchBegun) }},
	KindDrillMoved:     {"drill-moved", func() Body { return new(DrillMoved) }},
	KindUnhitched:      {"unhitched", func() Body { return new(Unhitched) }},
	KindDrained:        {"drained", func() Body { return new(Drained) }},
	KindCounterReset:   {"counter-reset", func() Body { return new(CounterReset) }},
	KindStandCounted:   {"stand-counted", func() Body { return new(StandCounted) }},
	KindAmended:        {"amended", func() Body { return new(Amended) }},
	KindStruck:         {"struck", func() Body { return new(Struck) }},
	KindSettled:        {"settled", func() Body { return new(Settled) }},
}

// String is the kind's name for people and for filters, such as "filled".
func (k Kind) String() string {
	if d, ok := kinds[k]; ok {
		return d.name
	}
	return "unknown"
}

// New is an empty body of the kind, or nil where this version does not know it.
func New(k Kind) Body {
	if d, ok := kinds[k]; ok {
		return d.make()
	}
	return nil
}

// ParseKind finds a kind by its name.
func ParseKind(name string) (Kind, bool) {
	for k := KindFilled; k <= LastKind; k++ {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}
