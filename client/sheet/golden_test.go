package sheet_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/units"
)

var update = flag.Bool("update", false, "write what comes out as what is expected")

const goldenDir = "../../testdata/golden/sheet"

// golden holds what came out against the file of what is expected.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join(goldenDir, name)
	if *update {
		if err := os.MkdirAll(goldenDir, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, want) {
		return
	}
	g, w := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
	for i := range min(len(g), len(w)) {
		if !bytes.Equal(g[i], w[i]) {
			t.Fatalf("%s line %d is\n%s\nwant\n%s\n(if that is right: go test -update, and read the diff)", name, i+1, g[i], w[i])
		}
	}
	t.Fatalf("%s has %d lines, want %d", name, len(g), len(w))
}

func TestDaySheetComesOutAsBefore(t *testing.T) {
	s := newStory(t, false)
	day := s.sheet("2026-09-14", "2026-09-14", units.US).DaySheet()
	var page, object, table bytes.Buffer
	if err := sheet.HTML(&page, day); err != nil {
		t.Fatal(err)
	}
	golden(t, "day.html", page.Bytes())
	if err := sheet.JSON(&object, day); err != nil {
		t.Fatal(err)
	}
	golden(t, "day.json", indented(t, object.Bytes()))
	for _, name := range []string{"sown", "dials", "fills"} {
		one, ok := day.Table(name)
		if !ok {
			t.Fatalf("no table %s", name)
		}
		if err := sheet.CSV(&table, day, one); err != nil {
			t.Fatal(err)
		}
	}
	golden(t, "day.csv", table.Bytes())
}

func TestMetricDaySheetComesOutAsBefore(t *testing.T) {
	s := newStory(t, true)
	var page bytes.Buffer
	if err := sheet.HTML(&page, s.sheet("2026-09-15", "2026-09-15", units.Metric).DaySheet()); err != nil {
		t.Fatal(err)
	}
	golden(t, "day-metric.html", page.Bytes())
}

func TestSeasonAndTraceComeOutAsBefore(t *testing.T) {
	s := newStory(t, false)
	whole := s.sheet("2026-09-14", "2026-09-15", units.US)
	lot, ok := s.State.View().LotNamed("R-7")
	if !ok {
		t.Fatal("no lot R-7")
	}
	for name, doc := range map[string]*sheet.Document{"season": whole.Season(), "lot": whole.Trace(lot)} {
		var page, object bytes.Buffer
		if err := sheet.HTML(&page, doc); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".html", page.Bytes())
		if err := sheet.JSON(&object, doc); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".json", indented(t, object.Bytes()))
		pdfOf(t, name+".pdf", doc)
	}
}
