package sheet_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// odsCell is a cell as a spreadsheet took it (OpenDocument 1.2, 9.1.4).
type odsCell struct {
	Type   string `xml:"value-type,attr"`
	Value  string `xml:"value,attr"`
	Date   string `xml:"date-value,attr"`
	Bool   string `xml:"boolean-value,attr"`
	Repeat int    `xml:"number-columns-repeated,attr"`
	Text   string `xml:"p"`
}

type odsTable struct {
	Rows []struct {
		Cells []odsCell `xml:"table-cell"`
	} `xml:"body>spreadsheet>table>table-row"`
}

// cells are a row's, those that are repeated as often as they are.
func (o *odsTable) cells(row int) (list []odsCell) {
	for _, c := range o.Rows[row].Cells {
		for range max(1, min(c.Repeat, 100)) {
			list = append(list, c)
		}
	}
	return list
}

// opened has LibreOffice open tables as its dialog does when it is told:
// commas, double quotes, UTF-8.
func opened(t *testing.T, d *sheet.Document, names ...string) map[string]*odsTable {
	t.Helper()
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("LibreOffice is not installed (Debian: libreoffice-calc-nogui): no spreadsheet opens the tables")
	}
	dir := t.TempDir()
	args := []string{"--headless", "-env:UserInstallation=file://" + dir + "/profile", "--convert-to", "fods", "--infilter=CSV:44,34,76,1", "--outdir", dir}
	for _, n := range names {
		path := filepath.Join(dir, n+".csv")
		if err := os.WriteFile(path, tableOf(t, d, n), 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	cmd := exec.Command(office, args...)
	cmd.Env = append(os.Environ(), "HOME="+dir)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v: %s", err, out)
	}
	tables := map[string]*odsTable{}
	for _, n := range names {
		text, err := os.ReadFile(filepath.Join(dir, n+".fods"))
		if err != nil {
			t.Fatal(err)
		}
		tables[n] = new(odsTable)
		if err := xml.Unmarshal(text, tables[n]); err != nil {
			t.Fatal(err)
		}
	}
	return tables
}

func tableOf(t *testing.T, d *sheet.Document, name string) []byte {
	t.Helper()
	table, ok := d.Table(name)
	if !ok {
		t.Fatalf("no table %s", name)
	}
	var out bytes.Buffer
	if err := sheet.CSV(&out, d, table); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestSpreadsheetTakesTheTypesRight: words are words, numbers numbers, days
// days, whatever the crew wrote.
func TestSpreadsheetTakesTheTypesRight(t *testing.T) {
	s := newStory(t, false)
	s.Write(s.ben, &entry.Noted{Text: `=HYPERLINK("http://example.invalid","see")`})
	s.Write(s.ben, &entry.Noted{Text: "two\nlines, with \"marks\" and Żdżar"})
	tables := opened(t, s.sheet("2026-09-14", "2026-09-15", units.US).DaySheet(), "sown", "dials", "notes", "come_up", "costs")
	for _, c := range []struct {
		table    string
		row      int
		column   string
		kind, is string
	}{
		{"sown", 1, "ground", "string", "bench"}, {"sown", 1, "lot", "string", "O-1"}, {"sown", 1, "lb", "float", "243"},
		{"sown", 1, "lb_per_ac", "float", "32.8378"}, {"sown", 1, "off_share", "float", "-0.03457"}, {"sown", 1, "live_share", "float", "0.882"},
		{"sown", 1, "cost", "float", "70.47"}, {"sown", 1, "proved", "boolean", "true"}, {"sown", 2, "variety", "", ""},
		{"dials", 1, "time", "date", "2026-09-14T07:05:00"}, {"dials", 1, "to", "float", "33"}, {"dials", 1, "from", "", ""},
		{"dials", 1, "why", "string", "chart, for 34 lb/ac"}, {"dials", 3, "counter", "float", "3.1"},
		{"come_up", 1, "first", "date", "2026-09-19"}, {"costs", 1, "bags", "float", "4.86"}, {"costs", 1, "price", "float", "14.5"},
		{"notes", 1, "note", "string", "Rain from four, +12 mm by the gauge"},
		{"notes", 2, "note", "string", `'=HYPERLINK("http://example.invalid","see")`},
	} {
		o := tables[c.table]
		at := -1
		for i, head := range o.cells(0) {
			if head.Text == c.column {
				at = i
			}
		}
		if at < 0 || c.row >= len(o.Rows) || at >= len(o.cells(c.row)) {
			t.Errorf("%s: no row %d, column %s", c.table, c.row, c.column)
			continue
		}
		cell := o.cells(c.row)[at]
		is := map[string]string{"string": cell.Text, "float": cell.Value, "date": cell.Date, "boolean": cell.Bool}[cell.Type]
		if cell.Type != c.kind || is != c.is {
			t.Errorf("%s row %d, %s: a %s %q, want a %s %q", c.table, c.row, c.column, cell.Type, is, c.kind, c.is)
		}
	}
}

// TestTablesReadAsTheStandardSays reads every table back (RFC 4180).
func TestTablesReadAsTheStandardSays(t *testing.T) {
	s := longStory(t, false)
	d := s.sheet("2026-09-14", "2026-09-15", units.US).DaySheet()
	for _, name := range d.TableNames() {
		text := bytes.TrimPrefix(tableOf(t, d, name), []byte("\ufeff"))
		rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
		table, _ := d.Table(name)
		if err != nil || len(rows) != len(d.Rows(table))+1 {
			t.Errorf("%s: %d rows read of %d and a head, %v", name, len(rows), len(d.Rows(table)), err)
		}
		seen := map[string]bool{}
		for _, key := range rows[0] {
			if key == "" || seen[key] || key != strings.ToLower(key) {
				t.Errorf("%s: column %q is nameless, or named as another is", name, key)
			}
			seen[key] = true
		}
	}
}
