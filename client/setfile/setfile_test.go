package setfile

import (
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/units"
)

// replica is a farm of one device that writes down whatever it is given.
type replica struct {
	t      testing.TB
	state  *farm.State
	device entry.DeviceID
	seq    uint64
}

func newReplica(t testing.TB) *replica {
	r := &replica{t: t, device: entry.DeviceID{1}}
	key := entry.Key{2}
	r.state = farm.New(entry.FoundedBy(r.device, key, key))
	r.write(&entry.FarmFounded{Name: "Windgap", Owner: "Ada", Key: key, Paper: key, DeviceName: "tablet"})
	return r
}

func (r *replica) next(i int) entry.ID {
	return entry.ID{Log: r.device.Log(), Seq: r.seq + 1 + uint64(i)}
}

func (r *replica) write(bodies ...entry.Body) {
	for _, b := range bodies {
		r.seq++
		r.state.Apply(entry.Entry{ID: entry.ID{Log: r.device.Log(), Seq: r.seq}, Clock: hlc.Time(r.seq << 16), Body: b})
	}
}

// set puts a file's text into the record and gives what was written.
func (r *replica) set(text string) []entry.Body {
	r.t.Helper()
	f, err := Parse("set.yaml", []byte(text))
	if err != nil {
		r.t.Fatal(err)
	}
	bodies, err := f.Entries(r.state.View(), entry.ID{}, r.next)
	if err != nil {
		r.t.Fatal(err)
	}
	r.write(bodies...)
	return bodies
}

func wholeDay(t testing.TB) string {
	data, err := os.ReadFile("testdata/day.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestWholeFileComesOutInTheView(t *testing.T) {
	r := newReplica(t)
	if n := len(r.set(wholeDay(t))); n != 16 { // 1 drill, 2 boxes, 5 chart points, 2 ground, 2 lots and their labels, 1 plan, 1 checks
		t.Errorf("%d entries written, want 16", n)
	}
	v := r.state.View()
	d, _ := v.DrillNamed("borrowed drill")
	if d.Rows != 16 || d.Spacing != 190_500 || d.Roll != 2_489_200 || d.Counter != entry.CountsAcres {
		t.Errorf("drill is %+v", d)
	}
	legume, _ := v.BoxNamed(d.ID, "legume")
	if legume.DialTo != 60_000 || !slices.Equal(legume.Sides, []string{"left", "right"}) || len(legume.Chart) != 2 {
		t.Errorf("legume box is %+v", legume)
	}
	bench, _ := v.GroundNamed("bench")
	if bench.Area.Acres() < 7.4999 || bench.Area.Acres() > 7.5001 || bench.Slope != 12_000 || bench.State != entry.ClearedGround ||
		bench.Boundary != "-801000000,382000000,-800900000,382000000,-800900000,382100000,-801000000,382100000" {
		t.Errorf("bench is %+v", bench)
	}
	clover, _ := v.LotNamed("C-7")
	if clover.Tag.Coating != 34_000 || clover.SeedsPerKg != 599_657 || clover.Price != 9200 || clover.Inert != 300 {
		t.Errorf("lot is %+v", clover)
	}
	if len(bench.Plan) != 2 || bench.Nurse != "oat" || bench.Depth != 6350 {
		t.Errorf("plan is %+v", bench)
	}
	if len(v.Checks) != 1 || len(v.Checks[0].Items) != 3 || v.Checks[0].Items[2].Required || !v.Checks[0].Items[1].Required {
		t.Errorf("checks are %+v", v.Checks)
	}
}

func TestSettingTwiceWritesNothing(t *testing.T) {
	r := newReplica(t)
	r.set(wholeDay(t))
	if again := r.set(wholeDay(t)); len(again) != 0 {
		t.Errorf("the second time wrote %d entries, the first %#v", len(again), again[0])
	}
}

func TestLaterFileChangesOnlyWhatItNames(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want entry.Body
	}{
		"a price":                {`lots: [{name: O-1, price: 15.25, bag: 50 lb}]`, &entry.LotSet{Price: entry.Some(units.Money(1525))}},
		"a new test":             {`lots: [{name: O-1, germination: 85%}]`, &entry.LabelSet{Lines: []entry.LabelLine{{Species: "oat", Germination: entry.Some(units.Share(85_000))}}}},
		"how coating is counted": {`lots: [{name: C-7, coating_counted: in}]`, &entry.LabelSet{CoatingCounted: entry.CoatingIn}},
		"a new name": {`ground: [{name: lower bench, was: bench}]`,
			&entry.GroundSet{Name: entry.Some("lower bench")}},
		"a slope":          {`ground: [{name: knoll, slope: 3%}]`, &entry.GroundSet{Slope: entry.Some(units.Share(3000))}},
		"the meter":        {`boxes: [{name: grain, meter: cup}]`, &entry.BoxSet{Meter: entry.Some("cup")}},
		"the tyre":         {`drill: {name: borrowed drill, wheel_roll: 8 ft}`, &entry.DrillSet{Roll: entry.Some(units.Length(2_438_400))}},
		"a printed rate":   {`chart: [{box: grain, species: oat, points: {20: 18 lb/ac, 40: 43 lb/ac}}]`, &entry.ChartPointSet{Species: "oat", Dial: 40_000, Rate: 4_819_660}},
		"a point gone":     {`chart: [{box: grain, species: oat, points: {20: none}}]`, &entry.ChartPointSet{Species: "oat", Dial: 20_000}},
		"a seed gone":      {`plan: [{ground: bench, seed: [{lot: C-7, box: legume, remove: yes}]}]`, &entry.PlanSet{Components: []entry.Component{{Removed: true}}}},
		"an aim":           {`plan: [{ground: bench, seed: [{lot: O-1, box: grain, live: 1 kg/ha}]}]`, &entry.PlanSet{Components: []entry.Component{{Live: 100_000}, {Removed: true}}}},
		"a list of checks": {`checks: {items: [hoses tied clear]}`, &entry.ChecksSet{Version: 2, Items: []entry.CheckItem{{Name: "hoses tied clear", Required: true}}}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newReplica(t)
			r.set(wholeDay(t))
			got := r.set(c.text)
			if len(got) != 1 {
				t.Fatalf("%d entries written, want 1", len(got))
			}
			if bare(got[0]); !reflect.DeepEqual(got[0], c.want) {
				t.Errorf("wrote %+v, want %+v", got[0], c.want)
			}
		})
	}
}

// bare takes the references out of a body, so that what it sets is left.
func bare(b entry.Body) {
	switch b := b.(type) {
	case *entry.LotSet:
		b.Lot = entry.ID{}
	case *entry.LabelSet:
		b.Lot = entry.ID{}
	case *entry.GroundSet:
		b.Ground = entry.ID{}
	case *entry.BoxSet:
		b.Box = entry.ID{}
	case *entry.DrillSet:
		b.Drill = entry.ID{}
	case *entry.ChartPointSet:
		b.Box = entry.ID{}
	case *entry.PlanSet:
		b.Ground = entry.ID{}
		for i := range b.Components {
			b.Components[i].Lot, b.Components[i].Box = entry.ID{}, entry.ID{}
		}
	}
}

// TestTurnsPerAcre pins that turns of the wheel and turns of the counted shaft
// are two things, neither of which stands in for the other.
func TestTurnsPerAcre(t *testing.T) {
	turns := func(n units.Turns) entry.Opt[units.Turns] { return entry.Some(n * 1000) }
	for text, want := range map[string]entry.DrillSet{
		`{name: d, counter_turns_per_acre: 130}`:              {Counter: entry.CountsTurns, CounterTurns: turns(130)},
		`{name: d, counter: turns}`:                           {Counter: entry.CountsTurns},
		`{name: d, counter: acres, wheel_turns_per_acre: 98}`: {Counter: entry.CountsAcres, WheelTurns: turns(98)}, // the width is not known
		`{name: d, wheel_roll: 8 ft, counter_turns_per_acre: 130}`: {Counter: entry.CountsTurns, CounterTurns: turns(130),
			Roll: entry.Some(units.Length(2_438_400))},
		`{name: d, width: 10 ft, wheel_roll: 8 ft 2 in, wheel_turns_per_acre: 512}`: {Width: entry.Some(units.Length(3_048_000)),
			Roll: entry.Some(units.Length(2_489_200)), WheelTurns: turns(512)}, // 4.2 % apart: tyres under load
	} {
		want.Name = entry.Some("d")
		r := newReplica(t)
		if got := r.set("drill: " + text); len(got) != 1 || !reflect.DeepEqual(got[0], &want) {
			t.Errorf("%s wrote %+v, want %+v", text, got, want)
		}
		if again := r.set("drill: " + text); len(again) != 0 {
			t.Errorf("%s wrote %+v again", text, again[0])
		}
	}
}

// A new tyre may be set where the turns were only worked out from the old one.
func TestANewTyre(t *testing.T) {
	r := newReplica(t)
	r.set(wholeDay(t))
	r.set(`drill: {name: borrowed drill, wheel_roll: 7 ft}`)
	if d := r.state.View().Drills[0]; d.Roll != 2_133_600 || !d.RollSet || d.TurnsSet {
		t.Errorf("drill is %+v", d)
	}
}

func TestHintsNameSpeciesThatNobodyKnows(t *testing.T) {
	f, err := Parse("set.yaml", []byte("lots:\n  - {name: F-2, species: tall fesuce}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if h := f.Hints(); len(h) != 1 || !strings.HasPrefix(h[0], "set.yaml:2:") || !strings.Contains(h[0], "Tall fescue") {
		t.Errorf("hints are %q", h)
	}
}
