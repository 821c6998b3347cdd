package client

import (
	"turnrow/client/words"
	"turnrow/sync/entry"
)

// WhyNot says in words why a line does not count: who alone does such things,
// where its writer may not. It is empty where the line counts.
func WhyNot(l words.Line) string {
	who, does := whoMay[l.Needs], doings[l.Kind]
	if who == "" || does == "" {
		return l.LeftOut
	}
	return "only " + who + " " + does
}

// whoMay is everybody who has a role or one above it, from the least up.
var whoMay = [...]string{
	entry.Helper:   "a helper, an operator or an owner",
	entry.Operator: "an operator or an owner",
	entry.Owner:    "an owner",
}

// doings are what people who write a kind do; of kinds that anybody may write,
// nothing is said.
var doings = map[entry.Kind]string{
	entry.KindFilled:         "fills boxes",
	entry.KindMeterRead:      "reads the counter",
	entry.KindDialMoved:      "moves dials",
	entry.KindCaught:         "weighs catches",
	entry.KindNoted:          "writes notes",
	entry.KindLevelRead:      "reads levels",
	entry.KindItemSigned:     "signs checks",
	entry.KindHoldReleased:   "releases holds",
	entry.KindHoldSeen:       "says that a hold is seen",
	entry.KindInvited:        "invites people",
	entry.KindMemberAdded:    "adds people",
	entry.KindMemberChanged:  "changes what people may do",
	entry.KindMemberStopped:  "ends a person's part",
	entry.KindDeviceStopped:  "stops devices",
	entry.KindDeviceTakenIn:  "takes in what a stopped device wrote",
	entry.KindGroundSet:      "sets ground",
	entry.KindDrillSet:       "sets drills",
	entry.KindBoxSet:         "sets boxes",
	entry.KindChartPointSet:  "sets the chart",
	entry.KindLotSet:         "sets lots",
	entry.KindBagsIn:         "counts bags that came",
	entry.KindBagsOut:        "counts bags that left",
	entry.KindPlanSet:        "plans",
	entry.KindChecksSet:      "sets the checks",
	entry.KindHitchBegun:     "begins a hitch",
	entry.KindDrillMoved:     "makes the drill up for road or field",
	entry.KindUnhitched:      "ends a hitch",
	entry.KindDrained:        "lets seed out",
	entry.KindCounterReset:   "sets a counter back",
	entry.KindStandCounted:   "counts stands",
	entry.KindAmended:        "corrects that",
	entry.KindStruck:         "strikes that",
	entry.KindSettled:        "settles that",
	entry.KindCounterStood:   "says where the counter stood",
	entry.KindGroundFinished: "says that ground is finished",
	entry.KindDialMarked:     "sets a dial's marks",
	entry.KindVolumeWeighed:  "weighs measures",
	entry.KindVolumeFilled:   "fills boxes",
	entry.KindLabelSet:       "sets labels",
	entry.KindAdmitted:       "lets devices in",
	entry.KindPinned:         "marks spots of ground",
	entry.KindErrand:         "says which seed is to be brought",
}
