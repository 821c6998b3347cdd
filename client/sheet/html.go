package sheet

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"

	"turnrow/client/safetext"
)

var (
	//go:embed sheet.html
	pageText string
	//go:embed sheet.css
	pageStyle string

	page = template.Must(template.New("sheet").Parse(pageText))
)

// HTML writes a document as one page that needs nothing else: it may be opened
// from a disk, sent, shown inside another page, or printed.
func HTML(w io.Writer, d *Document) error {
	var b bytes.Buffer
	err := page.Execute(&b, struct {
		*Document
		Style template.CSS
	}{d, template.CSS(pageStyle)})
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, safetext.Lines(b.String()))
	return err
}

// StyleSource is the page's own style as a Content-Security-Policy names it, so
// that a server which forbids styles within a page can let this one through.
func StyleSource() string {
	sum := sha256.Sum256([]byte(pageStyle))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// Cell is one place of a table as people read it.
type Cell struct {
	Text  string
	Right bool // lines up on the right
	Solid bool // stays on one line
}

// FactPairs are the document's facts for people, each a heading and a text.
func (d *Document) FactPairs() [][2]string {
	var out [][2]string
	for i := range d.Facts {
		if text := d.Facts[i].text(d); d.Facts[i].Head != "" && text != "" {
			out = append(out, [2]string{d.Facts[i].Head, text})
		}
	}
	return out
}

// MadeAt is when the document was made.
func (d *Document) MadeAt() string { return d.Made.Format("2006-01-02 15:04 MST") }

// Headings are the heads of a table's columns, with their units.
func (d *Document) Headings(t *Table) []Cell {
	cells := make([]Cell, len(t.columns))
	for i, c := range t.columns {
		cells[i] = Cell{Text: c.heading(d.System), Right: c.kind.onTheRight()}
	}
	return cells
}

// Rows are a table's rows as people read them.
func (d *Document) Rows(t *Table) [][]Cell {
	rows := make([][]Cell, len(t.rows))
	for i, row := range t.rows {
		rows[i] = d.cells(t, row)
	}
	return rows
}

// Total is a table's last line; none where adding up says nothing, or adds up
// one row.
func (d *Document) Total(t *Table) []Cell {
	if len(t.total) == 0 || len(t.rows) < 2 {
		return nil
	}
	return d.cells(t, t.total)
}

func (d *Document) cells(t *Table, row []value) []Cell {
	cells := make([]Cell, len(row))
	for i, c := range t.columns {
		cells[i] = Cell{text(row[i], c.kind, d.System, d.Sign), c.kind.onTheRight(), c.kind != prose}
	}
	return cells
}

// laid is a table in its section, with the document that says how it reads.
type laid struct {
	Table *Table
	Same  bool // the section's title says what the table is
	d     *Document
}

// With is a table for the page, in the section of a title.
func (d *Document) With(section string, t *Table) any { return laid{t, t.Title == section, d} }

// Headings are the heads of the table's columns.
func (l laid) Headings() []Cell { return l.d.Headings(l.Table) }

// Rows are the table's rows.
func (l laid) Rows() [][]Cell { return l.d.Rows(l.Table) }

// Total is the table's last line.
func (l laid) Total() []Cell { return l.d.Total(l.Table) }
