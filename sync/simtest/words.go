package simtest

import "turnrow/sync/entry"

// sort says how a field's words are read.
type sort uint8

const (
	text sort = iota
	ref
	integer
	mass
	length
	area
	volume
	rates
	density
	dial
	turns
	reading
	share
	count
	money
	flag // the word alone
	role
	drillState
	counter
	catchWay
	coated
	pinned
	errand
	device // a place, which stands for its device's last entry known to the writer
	asker  // a place, which stands for its device's first entry
	group  // begins an item of a list; its own words are in the verb's items
	first  // as group, and is the item's first field at once
)

// word is the word for a field, by the field's number in the schema.
type word struct {
	name string
	sort sort
}

// verb is how a kind of body is written.
type verb struct {
	kind   entry.Kind
	fields map[int]word
	items  map[int]word // of the fields that are groups
}

// verbs are the kinds of body as the stories write them. A field without a
// word cannot be written here: keys and signatures come from the world.
var verbs = map[string]verb{
	"fill": {entry.KindFilled, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"with", ref},
		4: {"mass", mass}, 5: {"bags", count}, 6: {"at", reading}, 7: {"note", text}}, nil},
	"drain": {entry.KindDrained, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"mass", mass},
		4: {"all", flag}, 5: {"to", text}, 6: {"at", reading}}, nil},
	"level": {entry.KindLevelRead, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"mass", mass},
		4: {"share", share}, 5: {"at", reading}, 6: {"note", text}}, nil},
	"catch": {entry.KindCaught, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"with", ref}, 4: {"dial", dial},
		5: {"turns", turns}, 6: {"over", length}, 7: {"rows", integer}, 8: {"mass", mass}, 9: {"rowmass", mass}, 10: {"scale", mass},
		11: {"note", text}, 12: {"row", integer}, 13: {"width", length}, 14: {"weighings", integer}, 15: {"way", catchWay}, 16: {"at", reading}}, nil},
	"marks": {entry.KindDialMarked, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"mark", text}}, nil},
	"begin": {entry.KindCounterStood, map[int]word{1: {"drill", ref}, 2: {"at", reading}, 3: {"on", ref}, 4: {"why", text}}, nil},
	"finish": {entry.KindGroundFinished, map[int]word{1: {"ground", ref}, 2: {"drill", ref}, 3: {"at", reading}, 4: {"done", flag},
		5: {"correction", integer}}, nil},
	"measure": {entry.KindVolumeWeighed, map[int]word{1: {"lot", ref}, 2: {"volume", volume}, 3: {"mass", mass}, 4: {"heaped", flag}}, nil},
	"pour": {entry.KindVolumeFilled, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"with", ref}, 4: {"volume", volume},
		5: {"heaped", flag}, 6: {"at", reading}, 7: {"note", text}}, nil},
	"label": {entry.KindLabelSet, map[int]word{1: {"lot", ref}, 2: {"seed", first}, 3: {"othercrop", share}, 4: {"weedseed", share},
		5: {"inert", share}, 6: {"coated", coated}}, map[int]word{1: {"seed", text}, 2: {"variety", text}, 3: {"share", share},
		4: {"germination", share}, 5: {"hard", share}, 6: {"coating", share}, 7: {"removed", flag}}},
	"dial": {entry.KindDialMoved, map[int]word{1: {"box", ref}, 2: {"side", integer}, 3: {"from", dial}, 4: {"to", dial},
		5: {"why", text}, 6: {"aim", rates}, 7: {"at", reading}}, nil},
	"read":  {entry.KindMeterRead, map[int]word{1: {"drill", ref}, 2: {"at", reading}, 3: {"on", ref}, 4: {"note", text}}, nil},
	"reset": {entry.KindCounterReset, map[int]word{1: {"drill", ref}, 2: {"from", reading}, 3: {"to", reading}, 4: {"why", text}}, nil},
	"note":  {entry.KindNoted, map[int]word{1: {"that", text}, 2: {"about", ref}}, nil},
	"sign":  {entry.KindItemSigned, map[int]word{1: {"of", ref}, 2: {"item", integer}}, nil},
	"hold":  {entry.KindHoldRaised, map[int]word{1: {"drill", ref}, 2: {"why", text}}, nil},
	"release": {entry.KindHoldReleased, map[int]word{1: {"drill", ref}, 2: {"holds", ref}, 3: {"why", text}},
		nil},
	"see":     {entry.KindHoldSeen, map[int]word{1: {"holds", ref}}, nil},
	"hitch":   {entry.KindHitchBegun, map[int]word{1: {"by", ref}, 2: {"drill", ref}, 3: {"tractor", text}}, nil},
	"unhitch": {entry.KindUnhitched, map[int]word{1: {"drill", ref}, 2: {"why", text}}, nil},
	"move":    {entry.KindDrillMoved, map[int]word{1: {"drill", ref}, 2: {"to", drillState}, 3: {"note", text}}, nil},
	"checks": {entry.KindChecksSet, map[int]word{1: {"version", integer}, 2: {"item", first}},
		map[int]word{1: {"item", text}, 2: {"required", flag}}},
	"invite": {entry.KindInvited, map[int]word{1: {"person", ref}, 3: {"ends", integer}}, nil},
	"member": {entry.KindMemberAdded, map[int]word{1: {"name", text}, 2: {"role", role}}, nil},
	"change": {entry.KindMemberChanged, map[int]word{1: {"member", ref}, 2: {"name", text}, 3: {"role", role}}, nil},
	"stop":   {entry.KindMemberStopped, map[int]word{1: {"member", ref}, 2: {"why", text}}, nil},
	"cutoff": {entry.KindDeviceStopped, map[int]word{1: {"device", device}, 4: {"why", text}}, nil},
	"takein": {entry.KindDeviceTakenIn, map[int]word{1: {"device", device}, 4: {"why", text}}, nil},
	"admit": {entry.KindAdmitted, map[int]word{1: {"device", asker}, 3: {"person", ref}, 4: {"role", role}, 5: {"refused", flag},
		6: {"porter", flag}}, nil},
	"ground": {entry.KindGroundSet, map[int]word{1: {"change", ref}, 2: {"name", text}, 3: {"area", area}, 4: {"slope", share},
		5: {"state", text}, 6: {"notes", text}, 7: {"spray", text}, 8: {"ring", first}}, map[int]word{1: {"ring", integer}}},
	"drill": {entry.KindDrillSet, map[int]word{1: {"change", ref}, 2: {"name", text}, 3: {"rows", integer}, 4: {"spacing", length},
		5: {"width", length}, 6: {"roll", length}, 7: {"wheelturns", turns}, 8: {"counter", counter},
		9: {"counterturns", turns}}, nil},
	"box": {entry.KindBoxSet, map[int]word{1: {"change", ref}, 2: {"of", ref}, 3: {"name", text}, 4: {"meter", text},
		5: {"lowest", dial}, 6: {"highest", dial}, 7: {"capacity", volume}, 8: {"sides", text}, 9: {"feeds", integer},
		10: {"owndials", integer}}, nil},
	"chart": {entry.KindChartPointSet, map[int]word{1: {"box", ref}, 2: {"species", text}, 3: {"dial", dial}, 4: {"rate", rates}, 5: {"printed", text}}, nil},
	"lot": {entry.KindLotSet, map[int]word{1: {"change", ref}, 2: {"name", text}, 3: {"species", text}, 4: {"variety", text},
		5: {"tested", integer}, 6: {"bag", mass}, 7: {"price", money},
		8: {"inoculant", text}, 9: {"endophyte", text}, 10: {"seedsperkg", integer}, 11: {"printed", text}}, nil},
	"bagsin":  {entry.KindBagsIn, map[int]word{1: {"lot", ref}, 2: {"bags", count}, 3: {"note", text}}, nil},
	"bagsout": {entry.KindBagsOut, map[int]word{1: {"lot", ref}, 2: {"bags", count}, 3: {"note", text}}, nil},
	"plan": {entry.KindPlanSet, map[int]word{1: {"ground", ref}, 2: {"put", first}, 3: {"depth", length}, 4: {"nurse", text}},
		map[int]word{1: {"put", ref}, 2: {"in", ref}, 3: {"live", rates}, 4: {"seeds", density}, 5: {"removed", flag}}},
	"count": {entry.KindStandCounted, map[int]word{1: {"ground", ref}, 2: {"frame", area}, 3: {"row", length}, 4: {"spacing", length},
		5: {"species", first}, 6: {"day", integer}, 7: {"note", text}}, map[int]word{1: {"species", text}, 2: {"plants", integer}}},
	"pin": {entry.KindPinned, map[int]word{1: {"of", ref}, 2: {"gone", flag}, 3: {"on", ref}, 4: {"longitude", integer},
		5: {"latitude", integer}, 6: {"within", length}, 7: {"what", pinned}, 8: {"length", length}, 9: {"width", length},
		10: {"row", integer}, 11: {"text", text}}, nil},
	"bring": {entry.KindErrand, map[int]word{1: {"of", ref}, 2: {"state", errand}, 3: {"lot", ref}, 4: {"bags", count}, 5: {"mass", mass},
		6: {"box", ref}, 7: {"side", integer}, 8: {"gate", text}, 9: {"note", text}}, nil},
	"amend":  {entry.KindAmended, map[int]word{1: {"entry", ref}, 2: {"why", text}}, nil},
	"strike": {entry.KindStruck, map[int]word{1: {"entry", ref}, 2: {"why", text}}, nil},
	"settle": {entry.KindSettled, map[int]word{1: {"doubt", text}, 2: {"of", ref}, 3: {"stands", ref}, 4: {"dial", dial},
		5: {"why", text}, 6: {"choice", text}, 7: {"value", integer}}, nil},
}
