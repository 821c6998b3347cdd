package simtest_test

import (
	"fmt"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/simtest"
)

// sample is an entry of each kind that can be written when the setting of
// TestEveryPairApart has been.
var sample = []struct {
	kind  entry.Kind
	words string
}{
	{entry.KindFilled, "fill box grain with oats bags 2"},
	{entry.KindMeterRead, "read at 2.0 on bench"},
	{entry.KindDialMoved, "dial box grain to 42"},
	{entry.KindCaught, "catch box grain with oats dial 40 turns 20 rows 10 mass 400 g"},
	{entry.KindNoted, "note that wet"},
	{entry.KindLevelRead, "level box grain mass 20 lb"},
	{entry.KindItemSigned, "sign item 2 of h"},
	{entry.KindHoldRaised, "hold why pin"},
	{entry.KindHoldReleased, "release why fixed"},
	{entry.KindHoldSeen, "see holds stop"},
	{entry.KindInvited, "invite person Cleo"},
	{entry.KindMemberAdded, "member name Finn role helper"},
	{entry.KindMemberChanged, "change member Cleo role operator"},
	{entry.KindMemberStopped, "stop member Cleo why left"},
	{entry.KindDeviceStopped, "cutoff device yard why lost"},
	{entry.KindDeviceTakenIn, "takein device yard why found"},
	{entry.KindAdmitted, "admit device yard person Cleo role operator"},
	{entry.KindGroundSet, "ground change bench area 7 ac"},
	{entry.KindDrillSet, "drill change drill rows 9"},
	{entry.KindBoxSet, "box change grain highest 90"},
	{entry.KindChartPointSet, "chart box grain species oat dial 40 rate 44 lb/ac"},
	{entry.KindLotSet, "lot change oats bag 40 lb"},
	{entry.KindBagsIn, "bagsin lot oats bags 4"},
	{entry.KindBagsOut, "bagsout lot oats bags 4"},
	{entry.KindPlanSet, "plan ground bench put oats in grain live 30 lb/ac"},
	{entry.KindChecksSet, "checks version 2 item jack required"},
	{entry.KindHitchBegun, "hitch by list tractor red"},
	{entry.KindDrillMoved, "move to transport"},
	{entry.KindUnhitched, "unhitch why done"},
	{entry.KindDrained, "drain box grain mass 5 lb"},
	{entry.KindCounterReset, "reset from 1 to 0 why rolled"},
	{entry.KindStandCounted, "count ground bench frame 1 ft2 species oat plants 3 4 day 20600"},
	{entry.KindAmended, "amend entry f why two as fill box grain with oats bags 2"},
	{entry.KindStruck, "strike entry f why wrong"},
	{entry.KindCounterStood, "begin at 0.5 on bench"},
	{entry.KindGroundFinished, "finish ground bench at 2.0 done correction 1010"},
	{entry.KindDialMarked, "marks box grain mark A B"},
	{entry.KindVolumeWeighed, "measure lot oats volume 1 qt mass 500 g"},
	{entry.KindVolumeFilled, "pour box grain with oats volume 4 qt at 1.5"},
	{entry.KindLabelSet, "label lot oats seed oat share 97%"},
	{entry.KindPinned, "pin of stone gone"},
	{entry.KindErrand, "bring of oatsup state there"},
	{entry.KindSettled, "settle doubt two-settings of d1 d2 dial 44 why read"},
}

// TestEveryPairApart has two people write every pair of kinds apart: whoever
// hears of the other first, both come to one state, the plain fold's.
func TestEveryPairApart(t *testing.T) {
	setting := []string{
		`house founds "Quill Hollow" owner Ada`, "server keeps",
		"house: Edda = member role owner", "house: Cleo = member role helper",
		"house: forbarn = invite person Edda", "house: foryard = invite person Cleo",
		"barn joins by forbarn", "yard joins by foryard",
		"house: drill = drill rows 10 spacing 7.5 in counter acres",
		"house: grain = box of drill lowest 0 highest 100",
		"house: oats = lot species oat bag 50 lb", "house: label lot oats seed oat share 98% germination 90%",
		"house: bench = ground area 7.5 ac", "house: list = checks version 1 item pin required item hoses required",
		"all meet",
		"yard: f = fill box grain with oats bags 3", "yard: stone = pin on bench what stone row 4",
		"yard: oatsup = bring lot oats bags 2 box grain state wanted",
		"house: d1 = dial box grain to 40", "barn: d2 = dial box grain to 41",
		"all meet",
		"house: h = hitch by list", "house: sign item 1 of h", "house: stop = hold why hose",
		"house: read at 1.0 on bench", "house: cut = cutoff device yard why lost",
		"yard: late = fill box grain with oats bags 1",
		"all meet",
	}
	begun := simtest.New()
	begun.Look = begun.Safe
	all(t, begun, setting...)
	for i, a := range sample {
		for _, b := range sample[:i+1] {
			t.Run(fmt.Sprintf("%s, %s", a.kind, b.kind), func(t *testing.T) {
				w, err := begun.Clone()
				if err != nil {
					t.Fatal(err)
				}
				w.Look = w.Safe
				all(t, w, "house: a = "+a.words, "barn: b = "+b.words, "house meets barn")
				house, _ := w.Place("house")
				barn, _ := w.Place("barn")
				if house.Digest() != barn.Digest() {
					t.Error("each hears of the other, and they differ")
				}
				if err := w.Healed(); err != nil {
					t.Error(err)
				}
			})
		}
	}
}

func all(t fataler, w *simtest.World, lines ...string) {
	for _, l := range lines {
		if err := w.Do(l); err != nil {
			t.Fatal(err)
		}
	}
}

// TestSamplesCoverEveryKind fails where a kind has no sample for its pairs.
// Entries that begin a log are paired by their stories.
func TestSamplesCoverEveryKind(t *testing.T) {
	for k := range entry.Kinds() {
		begins := k == entry.KindFarmFounded || k == entry.KindDeviceEnrolled || k == entry.KindRecovered
		has := false
		for _, s := range sample {
			has = has || s.kind == k
		}
		if !has && !begins {
			t.Errorf("no sample of %s", k)
		}
	}
}
