package entry_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

var (
	boxID = entry.ID{Log: entry.LogID{1}, Seq: 2}
	lotID = entry.ID{Log: entry.LogID{1}, Seq: 3}
)

// What is out of range is refused by a RangeError that names the field.
func TestRangesAreNamed(t *testing.T) {
	long := strings.Repeat("x", entry.MaxText+1)
	for _, c := range []struct {
		body  entry.Body
		field string
	}{
		{&entry.Filled{Lot: lotID, Mass: 1}, "box"},
		{&entry.Filled{Box: boxID, Lot: lotID}, "amount"},
		{&entry.Filled{Box: boxID, Lot: lotID, Mass: 1, Bags: 1}, "amount"},
		{&entry.Filled{Box: boxID, Lot: lotID, Mass: math.MaxInt64}, "mass"},
		{&entry.Filled{Box: boxID, Lot: lotID, Mass: 1, Side: -1}, "side"},
		{&entry.Filled{Box: boxID, Lot: lotID, Mass: 1, Note: long}, "note"},
		{&entry.Filled{Box: boxID, Lot: lotID, Mass: 1, Note: "\xff"}, "note"},
		{&entry.Drained{Box: boxID}, "amount"},
		{&entry.LevelRead{Box: boxID}, "level"},
		{&entry.LevelRead{Box: boxID, Share: entry.Some(units.Whole + 1)}, "share of full"},
		{&entry.MeterRead{Drill: boxID, Reading: -1}, "reading"},
		{&entry.DialMoved{Box: boxID, To: -1}, "dial"},
		{&entry.Caught{Box: boxID, Lot: lotID, Rows: 1}, "turns and distance"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 0}, "rows and width"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1, Width: 1}, "rows and width"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1001, Masses: []units.Mass{1}}, "rows"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1}, "mass caught"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1, Masses: []units.Mass{-1}}, "mass caught"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1, Masses: []units.Mass{1, 1}, RowMasses: []units.Mass{1}}, "repeats"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 2, Masses: []units.Mass{1}, RowNumbers: []int64{1}}, "rows named"},
		{&entry.Caught{Box: boxID, Lot: lotID, Turns: 1, Rows: 1, Masses: []units.Mass{1}, Way: 3}, "way of the catch"},
		{&entry.DialMarked{Box: boxID, Marks: []string{"A", "A"}}, "mark"},
		{&entry.CounterStood{Reading: 1}, "drill"},
		{&entry.GroundFinished{Ground: lotID, Drill: boxID, Correction: entry.Some(int64(400))}, "counter's correction"},
		{&entry.VolumeWeighed{Lot: lotID, Volume: 1}, "mass"},
		{&entry.VolumeFilled{Box: boxID, Lot: lotID}, "volume"},
		{&entry.LabelSet{Lot: lotID, Lines: []entry.LabelLine{{}}}, "species"},
		{&entry.LabelSet{Lot: lotID, Lines: []entry.LabelLine{{Species: "oat"}, {Species: "oat"}}}, "line of the label"},
		{&entry.Pinned{What: entry.PinnedStone}, "where the spot is"},
		{&entry.Pinned{Ground: lotID}, "what is there"},
		{&entry.Pinned{Ground: lotID, What: 5}, "what is there"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedOther}, "text"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedStone, Latitude: entry.Some(int64(1))}, "place"},
		{&entry.Pinned{Longitude: entry.Some(int64(0)), Latitude: entry.Some(int64(900_000_001)), What: entry.PinnedStone}, "latitude"},
		{&entry.Pinned{Longitude: entry.Some(int64(-1_800_000_001)), Latitude: entry.Some(int64(0)), What: entry.PinnedStone}, "longitude"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedStone, Accuracy: 1}, "accuracy"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedStone, Length: -1}, "length"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedBlockedRow, Row: 1001}, "row"},
		{&entry.Pinned{Ground: lotID, What: entry.PinnedStone, Gone: true}, "spot that is gone"},
		{&entry.Pinned{Of: lotID}, "spot that was noted"},
		{&entry.Pinned{Of: lotID, Gone: true, Row: 1}, "spot that was noted"},
		{&entry.Errand{Lot: lotID, Bags: 1000, Box: boxID}, "state"},
		{&entry.Errand{State: 4, Lot: lotID, Bags: 1000, Box: boxID}, "state"},
		{&entry.Errand{State: entry.ErrandWanted, Lot: lotID, Box: boxID}, "amount"},
		{&entry.Errand{State: entry.ErrandWanted, Lot: lotID, Bags: 1000, Mass: 1, Box: boxID}, "amount"},
		{&entry.Errand{State: entry.ErrandWanted, Bags: 1000, Box: boxID}, "lot"},
		{&entry.Errand{State: entry.ErrandWanted, Lot: lotID, Bags: 1000}, "where to bring it"},
		{&entry.Errand{State: entry.ErrandWanted, Lot: lotID, Bags: 1000, Gate: "north", Side: 1}, "side"},
		{&entry.Errand{State: entry.ErrandThere, Of: lotID, Bags: 1000}, "seed that was asked for"},
		{&entry.HoldReleased{Drill: boxID}, "why"},
		{&entry.HoldSeen{}, "holds"},
		{&entry.HoldSeen{Holds: make([]entry.ID, entry.MaxList+1)}, "holds"},
		{&entry.ItemSigned{Hitch: boxID}, "check"},
		{&entry.ChecksSet{}, "checks"},
		{&entry.MemberAdded{Name: "Ada"}, "role"},
		{&entry.MemberAdded{Role: entry.Owner}, "name"},
		{&entry.LabelSet{Lot: lotID, Lines: []entry.LabelLine{{Species: "oat", Germination: entry.Some(units.Share(100_001))}}}, "germination"},
		{&entry.LotSet{}, "lot's name"},
		{&entry.BoxSet{Name: entry.Some("grain")}, "drill"},
		{&entry.BoxSet{Box: boxID, DialFrom: entry.Some(units.Dial(5)), DialTo: entry.Some(units.Dial(5))}, "dial range"},
		{&entry.GroundSet{Ground: boxID, Boundary: []entry.Ring{{0, 0, 1, 1}}}, "boundary's corners"},
		{&entry.GroundSet{Ground: boxID, Boundary: []entry.Ring{{0, 0, 1, 1, 2_000_000_000, 0}}}, "longitude"},
		{&entry.PlanSet{Ground: boxID, Components: []entry.Component{{Lot: lotID, Box: boxID}}}, "component's aim"},
		{&entry.StandCounted{Ground: boxID, Counts: []entry.SpeciesCount{{Plants: []int64{1}}}}, "frame"},
		{&entry.Amended{Entry: boxID}, "amendment"},
		{&entry.Amended{Entry: boxID, Body: &entry.Struck{Entry: boxID, Why: "x"}}, "amendment"},
		{&entry.Struck{Entry: boxID}, "why"},
		{&entry.Settled{Doubt: "balance"}, "entries"},
		{&entry.Noted{}, "note"},
		{&entry.Invited{Person: boxID, Expires: 1}, "key"},
	} {
		var r *entry.RangeError
		if err := c.body.Check(); !errors.As(err, &r) || r.Field != c.field {
			t.Errorf("%s %+v: %v, want the field %q named", c.body.Kind(), c.body, err, c.field)
		}
	}
}

// A million of the largest amounts still add up in 64 bits.
func TestSumsDoNotOverflow(t *testing.T) {
	most := units.Mass(1e12)
	if err := (&entry.Filled{Box: boxID, Lot: lotID, Mass: most}).Check(); err != nil {
		t.Fatal(err)
	}
	if (&entry.Filled{Box: boxID, Lot: lotID, Mass: most + 1}).Check() == nil {
		t.Fatal("more than the most is taken")
	}
	if most > math.MaxInt64/1_000_000 {
		t.Fatal("a million of the most do not add up")
	}
}

func TestEveryKindHasANameAndABody(t *testing.T) {
	seen, next := map[string]bool{}, entry.KindFilled
	for k := range entry.Kinds() {
		if k != next {
			t.Errorf("after kind %d comes %d", next-1, k)
		}
		next = k + 1
		b := entry.New(k)
		if b == nil || b.Kind() != k {
			t.Errorf("kind %d makes %T", k, b)
		}
		if got, ok := entry.ParseKind(k.String()); !ok || got != k || seen[k.String()] {
			t.Errorf("kind %d is named %q", k, k)
		}
		seen[k.String()] = true
	}
	if next != entry.LastKind+1 {
		t.Errorf("the last of the kinds is %d", next-1)
	}
	if entry.New(entry.LastKind+1) != nil || entry.New(0) != nil || entry.Kind(0).String() != "unknown" {
		t.Error("a kind that is not known is made")
	}
}
