package sheet_test

import (
	"slices"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// What became of a signature is told by its own hitch: one of a hitch that
// ended counted until then, one that nobody may give never did, and one more
// of a check that is signed counts too.
func TestSignaturesAreToldByTheirHitch(t *testing.T) {
	c := newCrew(t)
	ben, cleo := c.Join("Ben", entry.Operator), c.Join("Cleo", entry.Helper)
	drill := c.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Counter: entry.CountsAcres})
	list := c.Write(0, &entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "engine off", Required: true}}})
	c.At(0, 7, 0)
	first := c.Write(ben, &entry.HitchBegun{Checks: list, Drill: drill})    // 07:01
	c.Write(cleo, &entry.ItemSigned{Hitch: first, Item: 1})                 // 07:02
	c.Write(ben, &entry.ItemSigned{Hitch: first, Item: 1})                  // 07:03
	c.Write(0, &entry.ItemSigned{Hitch: first, Item: 1})                    // 07:04
	c.Write(ben, &entry.Unhitched{Drill: drill})                            // 07:05
	c.Write(0, &entry.ItemSigned{Hitch: first, Item: 1})                    // 07:06
	second := c.Write(ben, &entry.HitchBegun{Checks: list, Drill: drill})   // 07:07
	signed := c.Write(ben, &entry.ItemSigned{Hitch: second, Item: 1})       // 07:08
	unhitched := c.Apart(0, &entry.Unhitched{Drill: drill}, c.Mark(second)) // 07:09, not knowing of the signature
	_, _ = signed, unhitched
	doc := c.sheet("2026-09-14", "2026-09-14", units.US).DaySheet()
	got := column(t, doc, "hitch", "Counts")
	want := []string{"yes", "no: its writer has no right to it", "until the hitch ended, 07:05", "until the hitch ended, 07:05", "yes",
		"no: signed after its hitch had ended", "yes", "no: unhitched by someone who did not know of it", "yes"}
	if !slices.Equal(got, want) {
		t.Errorf("counts:\n%q\nwant\n%q", got, want)
	}
	if what := column(t, doc, "hitch", "What"); what[1] != "NOT SIGNED: engine off" || what[2] != "signed: engine off" {
		t.Errorf("%q", what)
	}
}

// A sheet that calls a drill ready says how far this device's record goes.
func TestReadyIsAsFarAsThisDeviceKnows(t *testing.T) {
	c := newCrew(t)
	drill := c.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Counter: entry.CountsAcres})
	list := c.Write(0, &entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "engine off", Required: true}}})
	hitch := c.Write(0, &entry.HitchBegun{Checks: list, Drill: drill})
	c.Write(0, &entry.ItemSigned{Hitch: hitch, Item: 1})
	v := c.State.View()
	if got := sheet.Knows(v, v.Devices[0].ID, c.Wall, c.Wall); got != "as far as this device knows, the farm's only one" {
		t.Error(got)
	}
	c.Join("Ben", entry.Operator)
	v = c.State.View()
	if got := sheet.Knows(v, v.Devices[0].ID, c.Wall.Add(-100*60*1e9), c.Wall); got != "as far as this device knows, which met the others 1 hour ago" {
		t.Error(got)
	}
}

// column is what a table shows under a heading.
func column(t *testing.T, doc *sheet.Document, name, head string) (out []string) {
	t.Helper()
	table, ok := doc.Table(name)
	if !ok {
		t.Fatalf("no table %s", name)
	}
	i := slices.IndexFunc(doc.Headings(table), func(c sheet.Cell) bool { return c.Text == head })
	if i < 0 {
		t.Fatalf("table %s has no column %s", name, head)
	}
	for _, row := range doc.Rows(table) {
		out = append(out, row[i].Text)
	}
	return out
}
