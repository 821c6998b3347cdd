package rate

import "turnrow/sync/units"

// Threshold is a published number of plants to the area that a stand is held
// against.
type Threshold struct {
	Species string
	Least   units.Density // no fewer than this
	Meaning string        // what the publisher says of it
	Source  Source
}

// standFigure is the species table's kind of figure for a least stand.
const standFigure = "minimum_seedling_stand"

// wheatAim is for wheat, which the species table has no stand for.
var wheatAim = Figure{Value: "30-35", Unit: "plants/ft2",
	Source: Source{Title: "guidance on wheat stands", Publisher: "University of Kentucky Cooperative Extension"}}

// ThresholdFor returns the published threshold for a species; ok is false
// where none was found. None was found for a mixed stand of grass and legume.
func ThresholdFor(s Species) (t Threshold, ok bool) {
	published, meaning := s.Figures(standFigure), "the least that a new seeding is worth keeping at"
	if s.Latin == "Triticum aestivum" {
		published, meaning = []Figure{wheatAim}, "the lower end of what to aim for, 30 to 35 plants/ft2"
	}
	for _, f := range published {
		perSquareFoot, _, plain := f.Range()
		least, err := units.DensityFromSquareFoot(perSquareFoot)
		if plain && err == nil && f.Unit == "plants/ft2" {
			return Threshold{Species: s.Name, Least: least, Meaning: meaning, Source: f.Source}, true
		}
	}
	return Threshold{}, false
}

// Verdict is how a stand compares with a threshold.
type Verdict string

// What a verdict can be. Unsure means that the interval holds the threshold.
const (
	StandEnough Verdict = "enough"
	StandUnsure Verdict = "unsure"
	StandThin   Verdict = "thin"
)

// Against holds the stand's interval against a threshold.
func (s Stand) Against(t Threshold) Verdict {
	switch {
	case s.Low >= t.Least:
		return StandEnough
	case s.High < t.Least:
		return StandThin
	}
	return StandUnsure
}
