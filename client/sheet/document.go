package sheet

import (
	"strings"
	"time"
	"unicode"

	"turnrow/sync/units"
)

// Document is a sheet laid out for reading, once for all writers.
type Document struct {
	Name     string // for files, such as day-2026-09-14
	Title    string
	Farm     string
	System   units.System
	Sign     string // of money
	Made     time.Time
	Facts    []Fact
	doubted  bool      // its masses and its money rest on open doubts
	Sections []Section // for people
	Tables   []*Table  // for programs and spreadsheets: every figure there is
	Cautions []string
	Foot     string // stands under every page
}

// Fact is one figure or sentence at the head of a document.
type Fact struct {
	key   string // for programs; "" where it is for people alone
	Head  string // "" where it is for programs alone
	kind  kind
	value value
}

// text is the fact as people read it, with its unit.
func (f *Fact) text(d *Document) string {
	out := text(f.value, f.kind, d.System, d.Sign)
	if u := f.kind.unit(d.System).people; u != "" && out != "" {
		out += " " + u
	}
	if d.doubted && (f.kind == mass || f.kind == money) && out != "" {
		out += " ?"
	}
	return out
}

// Section is a part of a document under a heading of its own.
type Section struct {
	Title    string
	Lines    []string
	Tables   []*Table
	Pictures []*Picture
}

// part adds a section, unless there is nothing in it.
func (d *Document) part(title string, lines []string, tables ...*Table) {
	s := Section{Title: title, Lines: lines}
	for _, t := range tables {
		if !t.Empty() {
			s.Tables = append(s.Tables, t.hidden())
		}
	}
	if len(s.Lines)+len(s.Tables) > 0 {
		d.Sections = append(d.Sections, s)
	}
}

// Table finds a table by its name.
func (d *Document) Table(name string) (*Table, bool) {
	for _, t := range d.Tables {
		if t.Name == name {
			return t, true
		}
	}
	return nil, false
}

// TableNames are the names of the tables that have rows.
func (d *Document) TableNames() []string {
	var names []string
	for _, t := range d.Tables {
		if !t.Empty() {
			names = append(names, t.Name)
		}
	}
	return names
}

// fileName is a name as a file may have it anywhere: letters, digits, dots and
// hyphens.
func fileName(name string) string {
	text := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' {
			return r
		}
		return '-'
	}, name)
	return strings.Trim(text, "-.")
}
