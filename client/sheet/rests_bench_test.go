package sheet_test

import (
	"testing"

	"turnrow/client/crewtest"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// BenchmarkRests finds what rests on 5,000 open doubts, all about one box.
func BenchmarkRests(b *testing.B) {
	var t crewtest.T = b
	c := newCrew(t)
	drill := c.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some(int64(16)), Spacing: entry.Some(units.Length(190_500)), Counter: entry.CountsAcres})
	box := c.Write(0, &entry.BoxSet{Drill: drill, Name: entry.Some("grain")})
	for range 5001 {
		c.Write(0, &entry.DialMoved{Box: box, To: 40_000, Why: "to where it stands"})
	}
	v := c.State.View()
	if v.Open < 5000 {
		b.Fatalf("%d doubts are open", v.Open)
	}
	b.Run("of a view", func(b *testing.B) {
		for b.Loop() {
			sheet.RestsOf(v)
		}
	})
	b.Run("of its box", func(b *testing.B) {
		r := sheet.RestsOf(v)
		for b.Loop() {
			r.Box(&v.Boxes[0])
		}
	})
}
