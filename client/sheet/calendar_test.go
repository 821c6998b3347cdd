package sheet_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"turnrow/sync/units"
)

// TestCalendarReadsElsewhere has another library for RFC 5545 read the
// calendar, and holds its days against those of a germination test (7 CFR
// 201.58, Table 2: oat 5 and 10 days, red clover 4 and 7, tall fescue 5 and
// 14) from the days of sowing, 14 and 15 September.
func TestCalendarReadsElsewhere(t *testing.T) {
	s := newStory(t, false)
	var out bytes.Buffer
	n, err := s.sheet("2026-09-14", "2026-09-15", units.US).Calendar(&out)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "looks.ics", out.Bytes())
	cal, err := ical.NewDecoder(bytes.NewReader(out.Bytes())).Decode()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][2]string{ // the end is the day after the last
		"Look for Oat on bench":               {"2026-09-19", "2026-09-25"},
		"Look for Red clover on bench":        {"2026-09-18", "2026-09-22"},
		"Look for Tall fescue on mill bottom": {"2026-09-20", "2026-09-30"},
		"Count the stand on bench":            {"2026-10-05", "2026-10-06"},
		"Count the stand on mill bottom":      {"2026-10-14", "2026-10-15"},
	}
	events := cal.Events()
	if len(events) != len(want) || n != len(want) {
		t.Errorf("%d events read, %d said; want %d", len(events), n, len(want))
	}
	for i := range events {
		title, _ := events[i].Props.Text("SUMMARY")
		from, err1 := events[i].DateTimeStart(time.UTC)
		to, err2 := events[i].DateTimeEnd(time.UTC)
		if got := [2]string{from.Format(time.DateOnly), to.Format(time.DateOnly)}; err1 != nil || err2 != nil || got != want[title] {
			t.Errorf("%q from %v to %v (%v, %v), want %v", title, from, to, err1, err2, want[title])
		}
		if text, err := events[i].Props.Text("DESCRIPTION"); err != nil || !strings.Contains(text, "late") {
			t.Errorf("%q says %q (%v)", title, text, err)
		}
	}
}

// TestCalendarLinesAreAsTheStandardHasThem: RFC 5545, 3.1: lines end in CRLF
// and hold no more than 75 octets; 3.8.4.7: every event's UID is its own.
func TestCalendarLinesAreAsTheStandardHasThem(t *testing.T) {
	s := longStory(t, false)
	var first, again bytes.Buffer
	sh := s.sheet("2026-09-14", "2026-09-15", units.US)
	if _, err := sh.Calendar(&first); err != nil {
		t.Fatal(err)
	}
	if _, err := sh.Calendar(&again); err != nil || !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Errorf("the second calendar differs from the first (%v)", err)
	}
	seen := map[string]bool{}
	for _, line := range strings.SplitAfter(first.String(), "\n") {
		if line != "" && !strings.HasSuffix(line, "\r\n") || len(line) > 77 {
			t.Errorf("line %q: %d octets", line, len(line))
		}
		if id, ok := strings.CutPrefix(line, "UID:"); ok {
			if seen[id] {
				t.Errorf("two events have the UID %q", id)
			}
			seen[id] = true
		}
	}
}
