package trial_test

import (
	"flag"
	"fmt"
	"math"
	"testing"
	"time"

	"turnrow/client/crewtest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/simtest/trial"
	"turnrow/sync/units"
)

var honestDays = flag.Int("days", 15, "honest days to live")

// honestFarm is the record of an honest crew's day.
type honestFarm struct {
	c      *crewtest.Crew
	h      *trial.Honest
	who    [3]int
	drill  entry.ID
	boxes  []entry.ID
	lots   []entry.ID
	pieces []entry.ID
	start  time.Time
}

// write lets somebody write at a minute of the day.
func (f *honestFarm) write(who int, minute float64, b entry.Body) entry.ID {
	at := f.start.Add(time.Duration(minute * float64(time.Minute)))
	f.c.Wall = at.Add(-time.Minute)
	return f.c.Write(f.who[who], b)
}

// honestSetUp founds the farm and sets up what the day needs.
func honestSetUp(t *testing.T, h *trial.Honest) *honestFarm {
	start := time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC)
	f := &honestFarm{h: h, start: start}
	f.c = crewtest.Found(t, start, entry.FarmFounded{Name: "Trial", Owner: "Ada", DeviceName: "house", TimeZone: "UTC", MoneySign: "$"})
	f.who = [3]int{0, f.c.Join("Ben", entry.Operator), f.c.Join("Cal", entry.Helper)}
	f.drill = f.write(0, 10, &entry.DrillSet{Name: some("drill"), Rows: some(int64(trial.DrillRows)), Counter: entry.CountsAcres,
		Spacing: some(must(units.LengthFromMetres(trial.RowSpacing))), Roll: some(must(units.LengthFromMetres(trial.RollTold)))})
	for i, b := range h.Boxes {
		f.setBox(i, b)
	}
	for i, p := range h.Pieces {
		f.pieces = append(f.pieces, f.write(0, 60+float64(10*i), &entry.GroundSet{Name: some(fmt.Sprint("piece ", i+1)), Area: some(must(units.AreaFromAcres(p.Mapped)))}))
		for j, b := range h.Boxes {
			f.write(0, 61+float64(10*i+j), &entry.PlanSet{Ground: f.pieces[i], Components: []entry.Component{{Lot: f.lots[j], Box: f.boxes[j], Live: must(units.RateFromGramsPerSquareMetre(b.Aim[i] * liveShare))}}})
		}
	}
	return f
}

// liveShare of every lot: purity × germination.
const liveShare = 0.98 * 0.9

func (f *honestFarm) setBox(i int, b *trial.Box) {
	minute := 20 + float64(20*i)
	f.boxes = append(f.boxes, f.write(0, minute, &entry.BoxSet{Drill: f.drill, Name: some(b.Species + " box"), DialFrom: some(units.Dial(0)),
		DialTo: some(units.Dial(marks * 1000)), Capacity: some(units.Volume(math.Round(b.Bushels * bushel * 1000)))}))
	for x := 10.0; x <= marks; x += 15 {
		f.write(0, minute+1+x/10, &entry.ChartPointSet{Box: f.boxes[i], Species: b.Species, Dial: units.Dial(x * 1000),
			Rate: must(units.RateFromGramsPerSquareMetre(b.Chart(x)))})
	}
	lot := f.write(0, minute+15, &entry.LotSet{Name: some(b.Species + " 26"), Species: some(b.Species), Bag: some(must(units.MassFromPounds(b.BagPounds)))})
	f.write(0, minute+16, &entry.LabelSet{Lot: lot, Lines: []entry.LabelLine{{Species: b.Species, Share: some(units.Share(98_000)),
		Germination: some(units.Share(90_000))}}})
	f.lots = append(f.lots, lot)
}

// body is a deed as an entry.
func (f *honestFarm) body(does any) entry.Body {
	reading := func(acres float64) units.Reading { return units.Reading(math.Round(acres * 1000)) }
	grams := func(g float64) units.Mass { return must(units.MassFromGrams(g)) }
	switch x := does.(type) {
	case trial.BagsCame:
		return &entry.BagsIn{Lot: f.lots[x.Lot], Bags: units.Count(x.Bags * 1000)}
	case trial.Stood:
		return &entry.CounterStood{Drill: f.drill, Reading: reading(x.Acres)}
	case trial.Caught:
		b := &entry.Caught{Box: f.boxes[x.Box], Lot: f.lots[x.Box], Dial: units.Dial(x.Dial * 1000), Turns: units.Turns(x.Crank.Turns * 1000),
			Rows: int64(x.Crank.Rows), Resolution: grams(x.Crank.Step), Way: entry.Standing}
		for _, g := range x.Grams {
			b.Masses = append(b.Masses, grams(g))
		}
		return b
	case trial.Moved:
		return &entry.DialMoved{Box: f.boxes[x.Box], To: units.Dial(x.Dial * 1000)}
	case trial.FilledBags:
		b := &entry.Filled{Box: f.boxes[x.Box], Lot: f.lots[x.Box], Bags: units.Count(x.Bags * 1000)}
		if x.Acres != nil {
			b.Reading = some(reading(*x.Acres))
		}
		return b
	case trial.FilledMass:
		return &entry.Filled{Box: f.boxes[x.Box], Lot: f.lots[x.Box], Mass: grams(x.Grams)}
	case trial.Read:
		return &entry.MeterRead{Drill: f.drill, Reading: reading(x.Acres), Ground: f.pieces[x.Ground]}
	case trial.Looked:
		return &entry.LevelRead{Box: f.boxes[x.Box], Share: some(must(units.ShareFromFraction(x.Share)))}
	case trial.Weighed:
		return &entry.LevelRead{Box: f.boxes[x.Box], Mass: some(grams(x.Grams))}
	case trial.Drained:
		return &entry.Drained{Box: f.boxes[x.Box], Mass: grams(x.Grams), All: true}
	case trial.Noted:
		return &entry.Noted{Text: x.Text}
	}
	panic(fmt.Sprintf("%T is no deed", does))
}

// mostQuestions is how many questions an honest crew may be asked for each
// entry it writes: one in a hundred.
const mostQuestions = 0.01

// An honest crew is not asked what it need not be: days of two boxes and a few
// pieces, with the noise of drills, scales, counters and people as published,
// some of them typed in late. What is asked all the same is answered "as
// written".
func TestHonestDaysAreLeftInPeace(t *testing.T) {
	d := trial.NewDraw(*seed, cell(8))
	entries, asked := 0, map[farm.DoubtKind]int{}
	for range *honestDays {
		h := trial.HonestDay(d)
		f := honestSetUp(t, h)
		for _, x := range h.Deeds {
			for _, q := range f.deed(x) {
				asked[q.Kind]++
				t.Log(q.Why)
			}
			entries++
		}
	}
	all := 0
	for _, n := range asked {
		all += n
	}
	t.Logf("%d days, %d entries, %d questions: %.2f in 100 %v", *honestDays, entries, all, 100*float64(all)/float64(entries), asked)
	if share := float64(all) / float64(entries); share > mostQuestions {
		t.Errorf("%.2f questions for each 100 entries of an honest crew, want %.0f at most", 100*share, 100*mostQuestions)
	}
}

// deed asks, and writes.
func (f *honestFarm) deed(x trial.Deed) []farm.Doubt {
	b := f.body(x.Does)
	at := f.start.Add(time.Duration(x.Minute * float64(time.Minute)))
	asked := f.c.State.Unlikely(farm.Writer{Device: f.device(x.Who), Wall: at.UnixMilli()}, b)
	f.write(x.Who, x.Minute, b)
	return asked
}

// device is the device of one of the crew.
func (f *honestFarm) device(who int) entry.DeviceID { return f.c.Runs()[f.who[who]].Device }
