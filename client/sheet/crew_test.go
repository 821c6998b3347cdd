package sheet_test

import (
	"testing"
	"time"

	"turnrow/client/crewtest"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// crew is a crew whose sheets can be made.
type crew struct{ *crewtest.Crew }

var zone = func() *time.Location {
	z, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	return z
}()

func found(t crewtest.T, at time.Time, metric bool) *crew {
	return &crew{crewtest.Found(t, at, entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", DeviceName: "house",
		TimeZone: "America/New_York", Metric: metric, MoneySign: "$"})}
}

// newCrew is an owner alone, in US units, on the morning of the story.
func newCrew(t crewtest.T) *crew {
	return found(t, time.Date(2026, 9, 14, 5, 40, 0, 0, zone), false)
}

func (c *crew) sheet(from, to string, system units.System) *sheet.Sheet {
	span := sheet.Span{From: must(sheet.ParseDay(from)), To: must(sheet.ParseDay(to))}
	return sheet.Of(c.State.View(), words.Lines(c.State), sheet.Options{Span: span, Zone: zone, System: system,
		Made: time.Date(2026, 9, 16, 7, 0, 0, 0, zone)})
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func lb(text string) units.Mass            { return must(units.ParseMass(text)) }
func rateOf(text string) units.RatePerArea { return must(units.ParseRate(text)) }
func areaOf(text string) units.Area        { return must(units.ParseArea(text)) }
func pct(n int64) units.Share              { return units.Share(n * 1000) }

var _ crewtest.T = (*testing.T)(nil)
