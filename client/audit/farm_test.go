package audit_test

import (
	"bytes"
	"flag"
	"iter"
	"os"
	"testing"
	"time"

	"turnrow/client/audit"
	"turnrow/client/crewtest"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

var update = flag.Bool("update", false, "write the worked example anew")

// example is the worked example of AUDIT.md.
const example = "../../testdata/vectors/audit/farm.jsonl"

// newFarm is a small invented record of three devices.
func newFarm(t crewtest.T) *crewtest.Crew {
	c := crewtest.Found(t, time.Date(2026, 9, 14, 5, 40, 0, 0, time.UTC), entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", DeviceName: "house"})
	ben, cleo := c.Join("Ben", entry.Operator), c.Join("Cléo", entry.Helper)
	drill := c.Write(0, &entry.DrillSet{Name: entry.Some("borrowed drill"), Counter: entry.CountsAcres})
	box := c.Write(0, &entry.BoxSet{Drill: drill, Name: entry.Some("grain")})
	oat := c.Write(0, &entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oat"), Bag: entry.Some(units.Mass(22_679_619))})
	ground := c.Write(0, &entry.GroundSet{Name: entry.Some("bench")})
	c.Write(ben, &entry.DialMoved{Box: box, To: 33_000, Why: "chart, for 34 lb/ac"})
	c.Write(cleo, &entry.Filled{Box: box, Lot: oat, Bags: 5000, Note: `levelled; "by hand" & <eye>`})
	c.Write(ben, &entry.MeterRead{Drill: drill, Reading: 7400, Ground: ground})
	c.Write(cleo, &entry.Noted{Text: "rain at four"})
	return c
}

// runsOf are the devices' logs, each signed at its end.
func runsOf(c *crewtest.Crew) iter.Seq2[entry.Run, error] {
	return func(yield func(entry.Run, error) bool) {
		for _, r := range c.Runs() {
			if !yield(r, nil) {
				return
			}
		}
	}
}

func written(t *testing.T, c *crewtest.Crew) []byte {
	t.Helper()
	var out bytes.Buffer
	n, err := audit.Write(&out, audit.Source{Farm: crewtest.ID(), Made: c.Wall, Runs: runsOf(c)}, nil)
	if err != nil || n != uint64(c.State.View().Entries) {
		t.Fatalf("wrote %d entries of %d: %v", n, c.State.View().Entries, err)
	}
	return out.Bytes()
}

// TestExampleIsWhatTurnrowWrites holds the worked example against what Write
// makes of the record that it is of.
func TestExampleIsWhatTurnrowWrites(t *testing.T) {
	got := written(t, newFarm(t))
	if *update {
		if err := os.WriteFile(example, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("Write makes\n%s\nand the worked example is\n%s", got, want)
	}
}
