package sheet_test

import (
	"bytes"
	"strings"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/units"
)

// A figure that rests on an open doubt carries a mark in the rows that people
// print and that programs read, with a line that says where to look; none does
// while nothing is in doubt.
func TestFiguresInDoubtAreMarked(t *testing.T) {
	shown := func(s *story) (page, table, pages string) {
		d := s.sheet("2026-09-14", "2026-09-15", units.US).DaySheet()
		var out bytes.Buffer
		if err := sheet.HTML(&out, d); err != nil {
			t.Fatal(err)
		}
		return out.String(), string(tableOf(t, d, "sown")), string(spaced(poppler(t, "pdftotext", "-layout", pdfOf(t, "doubt.pdf", d), "-")))
	}
	const says = "Figures marked ? rest on a doubt"
	s := newStory(t, false)
	if page, table, pages := shown(s); strings.Contains(page+table+pages, says) || strings.Contains(table, "? ") {
		t.Error("figures are marked while nothing is in doubt")
	}
	s.catchOf(s.grain, s.fescue, 54_000, "920 g") // ten times what the one before said
	page, table, pages := shown(s)
	if !strings.Contains(page, says) || !strings.Contains(page, "? a rate that no catch backs; a dial far from the aim or the chart; the seed does not add up; an unlikely catch") || !strings.Contains(pages, says) || !strings.Contains(pages, "unlikely catch") {
		t.Error("the sheet does not mark what rests on a doubt")
	}
	for _, row := range strings.Split(strings.TrimSpace(table), "\n")[1:] {
		if got, want := strings.Contains(row, "an unlikely catch"), strings.Contains(row, ",grain,"); got != want {
			t.Errorf("marked %v, want %v: %s", got, want, row)
		}
	}
}

// So are the rows of a lot's paper and a season's days, as their heads are.
func TestRowsAreMarkedAsTheirHeads(t *testing.T) {
	s := newStory(t, false)
	rows := func(d *sheet.Document, table string) []string {
		return strings.Split(strings.TrimSpace(string(tableOf(t, d, table))), "\n")[1:]
	}
	papers := func() (pieces, days []string) {
		whole := s.sheet("2026-09-14", "2026-09-15", units.US)
		fescue, _ := s.State.View().LotOf(s.fescue)
		return rows(whole.Trace(fescue), "pieces"), rows(whole.Season(), "days")
	}
	marks := func(rows []string) (n int) {
		for _, r := range rows {
			if strings.Contains(r, "? ") {
				n++
			}
		}
		return n
	}
	if pieces, days := papers(); marks(pieces)+marks(days) > 0 {
		t.Errorf("marked while nothing is in doubt: %v, %v", pieces, days)
	}
	s.catchOf(s.grain, s.fescue, 54_000, "920 g") // ten times what the one before said
	if pieces, days := papers(); len(pieces) == 0 || marks(pieces) != len(pieces) || marks(days) == 0 {
		t.Errorf("no mark: %v, %v", pieces, days)
	}
}
