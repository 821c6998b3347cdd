package sheet_test

import (
	"bytes"
	"encoding/xml"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

var keep = flag.String("keep", "", "folder to write PDF files into, to be looked at")

// pdfOf writes a document's pages into a file, and gives its path.
func pdfOf(t *testing.T, name string, d *sheet.Document) string {
	t.Helper()
	var pages, again bytes.Buffer
	if err := sheet.PDF(&pages, d); err != nil {
		t.Fatal(err)
	}
	if err := sheet.PDF(&again, d); err != nil || !bytes.Equal(pages.Bytes(), again.Bytes()) {
		t.Errorf("%s came out otherwise the second time (%v)", name, err)
	}
	dir := *keep
	if dir == "" {
		dir = t.TempDir()
	}
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, pages.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// poppler runs one of poppler's programs, which read the pages as any reader
// of PDF does.
func poppler(t *testing.T, program string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		t.Skipf("%s is not installed (Debian: poppler-utils): the pages are not read back", program)
	}
	out, err := exec.Command(path, args...).Output()
	if err != nil {
		t.Fatalf("%s %v: %v", program, args, err)
	}
	return out
}

// TestTextOfThePagesCanBeSelected holds the text that a reader selects on the
// pages against what is expected.
func TestTextOfThePagesCanBeSelected(t *testing.T) {
	us, metric := newStory(t, false), newStory(t, true)
	letter := pdfOf(t, "day.pdf", us.sheet("2026-09-14", "2026-09-14", units.US).DaySheet())
	a4 := pdfOf(t, "day-metric.pdf", metric.sheet("2026-09-15", "2026-09-15", units.Metric).DaySheet())
	golden(t, "day.pdf.txt", spaced(poppler(t, "pdftotext", "-layout", letter, "-")))
	golden(t, "day-metric.pdf.txt", spaced(poppler(t, "pdftotext", "-layout", a4, "-")))
}

// spaced leaves one blank between words: how many poppler puts there differs
// from version to version.
func spaced(text []byte) []byte {
	var out []byte
	for _, line := range bytes.Split(text, []byte("\n")) {
		if words := bytes.Fields(line); len(words) > 0 {
			out = append(append(out, bytes.Join(words, []byte(" "))...), '\n')
		}
	}
	return out
}

// pageBoxes is what pdftotext -bbox prints: the place of every word.
type pageBoxes struct {
	Pages []struct {
		Width  float64 `xml:"width,attr"`
		Height float64 `xml:"height,attr"`
		Words  []struct {
			XMin float64 `xml:"xMin,attr"`
			YMin float64 `xml:"yMin,attr"`
			XMax float64 `xml:"xMax,attr"`
			YMax float64 `xml:"yMax,attr"`
			Text string  `xml:",chardata"`
		} `xml:"word"`
	} `xml:"body>doc>page"`
}

// TestNothingIsCutOff looks for words beyond the margins, and for two words in
// one place, with long notes and names, at both sizes of page.
func TestNothingIsCutOff(t *testing.T) {
	for _, c := range []struct {
		system        units.System
		width, height float64 // points: ANSI Letter, ISO 216 A4
	}{{units.US, 612, 792}, {units.Metric, 595.28, 841.89}} {
		s := longStory(t, c.system == units.Metric)
		path := pdfOf(t, "long-"+c.system.String()+".pdf", s.sheet("2026-09-14", "2026-09-15", c.system).DaySheet())
		var boxes pageBoxes
		dec := xml.NewDecoder(bytes.NewReader(poppler(t, "pdftotext", "-bbox", path, "-")))
		dec.Strict, dec.Entity = false, xml.HTMLEntity
		if err := dec.Decode(&boxes); err != nil {
			t.Fatal(err)
		}
		words := 0
		for n, page := range boxes.Pages {
			if dx, dy := page.Width-c.width, page.Height-c.height; dx*dx > 1 || dy*dy > 1 {
				t.Errorf("%s page %d is %v by %v points, want %v by %v", c.system, n+1, page.Width, page.Height, c.width, c.height)
			}
			const margin = 36 // half an inch
			for i, w := range page.Words {
				words++
				if w.XMin < margin || w.XMax > page.Width-margin || w.YMin < margin || w.YMax > page.Height-margin*2/3 {
					t.Errorf("%s page %d: %q at %.0f..%.0f, %.0f..%.0f is beyond the margin", c.system, n+1, w.Text, w.XMin, w.XMax, w.YMin, w.YMax)
				}
				for _, o := range page.Words[:i] {
					if across, down := min(w.XMax, o.XMax)-max(w.XMin, o.XMin), min(w.YMax, o.YMax)-max(w.YMin, o.YMin); across > 1 && down > 4 {
						t.Errorf("%s page %d: %q lies over %q", c.system, n+1, w.Text, o.Text)
					}
				}
			}
		}
		if words < 500 {
			t.Errorf("%s: %d words on %d pages were looked at; the sheet has more", c.system, words, len(boxes.Pages))
		}
		text := string(poppler(t, "pdftotext", "-raw", path, "-"))
		for _, want := range []string{"Żdżarska", "lastwordofthelongnote", "Бен"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is not on the pages", c.system, want)
			}
		}
	}
}

// longStory has names and notes that are hard to set.
func longStory(t *testing.T, metric bool) *story {
	s := newStory(t, metric)
	long := strings.Repeat("the seed ran thin along the fence and we went over it twice; ", 33) + "lastwordofthelongnote"
	who := s.Join("Wilhelmina Żdżarska-Featherstonehaugh", entry.Operator)
	s.Write(who, &entry.Noted{Text: long})
	s.Write(who, &entry.Noted{Text: strings.Repeat("unbroken", 60)})
	s.Write(who, &entry.DialMoved{Box: s.grain, To: 54_500, Why: long})
	s.Write(who, &entry.Noted{Text: "Бен: ещё раз; two\nlines, a tab\there, 種 and 🌱"})
	for range 60 {
		s.Wall = s.Wall.Add(time.Minute)
		s.Write(who, &entry.LevelRead{Box: s.legume, Side: 1, Share: entry.Some(pct(20)), Note: "looked in"})
	}
	return s
}
