package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/fields"
	"turnrow/client/safetext"
	"turnrow/client/sheet"
)

// paperCommands are those that make what leaves turnrow.
func paperCommands(g *globals) []*cobra.Command {
	return []*cobra.Command{newDayCommand(g), newSeasonCommand(g), newLotCommand(g), newCalendarCommand(g), newGeoJSONCommand(g), newAuditCommand(g)}
}

// paperHelp is what every command that makes a paper says of --out.
const paperHelp = `
Without --out the paper is printed here. With --out it goes into a file, as the
name's ending says: .html for the screen and a printer, .pdf (Letter, or A4 with
metric units), .csv for a spreadsheet (one table: --table says which, --table
all writes each into a file of its own), .json. "--out -" writes to standard
output, as --format says.`

func paperFlags(f *pflag.FlagSet) {
	f.String("out", "", "FILE.html, .pdf, .csv or .json; - for standard output")
	f.String("format", "", "html, pdf, csv or json, where --out does not say (default html)")
	f.String("table", "", "which table goes into a .csv (default the first; all: each into a file of its own)")
}

func completePaper(c *cobra.Command) *cobra.Command {
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]cobra.Completion{"html", "pdf", "csv", "json"}, cobra.ShellCompDirectiveNoFileComp))
	_ = c.MarkFlagFilename("out", "html", "pdf", "csv", "json")
	return c
}

// paper is one call's wish for a document.
type paper struct {
	*call
	out, format, table string
}

// paper reads --out, --format and --table.
func (k *call) paper() *paper {
	p := &paper{k, k.Text("out"), k.Text("format"), k.Text("table")}
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(p.out), "."))
	switch {
	case p.format == "" && p.out == "-":
		p.format = "html"
		if p.table != "" {
			p.format = "csv"
		}
	case p.format == "" && ending == "htm":
		p.format = "html"
	case p.format == "":
		p.format = ending
	case p.out == "":
		k.fail("--format is for --out: give --out FILE, or --out - for standard output")
	}
	if writers[p.format] == nil && p.out != "" {
		k.fail("--out: %q does not end in .html, .pdf, .csv or .json: give --format as well", p.out)
	}
	if p.table != "" && p.format != "csv" {
		k.fail("--table is for a .csv, which holds one table")
	}
	if k.json && p.out == "-" && p.format != "json" {
		k.fail("--json and --out - both want standard output: give one")
	}
	return p
}

var writers = map[string]func(*paper, io.Writer, *sheet.Document) error{
	"html": func(_ *paper, w io.Writer, d *sheet.Document) error { return sheet.HTML(w, d) },
	"pdf":  func(_ *paper, w io.Writer, d *sheet.Document) error { return sheet.PDF(w, d) },
	"json": func(_ *paper, w io.Writer, d *sheet.Document) error { return paperJSON(w, d) },
	"csv":  (*paper).csv,
}

// paperJSON writes a document as JSON that a terminal shows as it is.
func paperJSON(w io.Writer, d *sheet.Document) error {
	var b bytes.Buffer
	if err := sheet.JSON(&b, d); err != nil {
		return err
	}
	_, err := w.Write(safetext.JSON(b.Bytes()))
	return err
}

// write puts a document where it is wanted.
func (p *paper) write(d *sheet.Document) error {
	if p.table != "" && p.table != "all" {
		if _, err := p.wanted(d); err != nil {
			return err
		}
	}
	switch {
	case p.out == "":
		return p.print(d)
	case p.out == "-":
		return writers[p.format](p, p.papers(), d)
	}
	files, err := p.files(d)
	if err != nil {
		return err
	}
	if p.json {
		return paperJSON(p.papers(), d)
	}
	return p.show(nil, []string{"Wrote " + strings.Join(files, ", ") + "."})
}

// files writes the document's file, or a file for each of its tables.
func (p *paper) files(d *sheet.Document) ([]string, error) {
	if p.table != "all" {
		return []string{p.out}, p.file(p.out, d)
	}
	var names []string
	stem := strings.TrimSuffix(p.out, filepath.Ext(p.out))
	for _, t := range d.TableNames() {
		one := *p
		one.table = t
		name := stem + "-" + t + ".csv"
		if err := one.file(name, d); err != nil {
			return names, err
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return nil, errors.New("no table has a row: there is nothing to write")
	}
	return names, nil
}

func (p *paper) file(name string, d *sheet.Document) error {
	return writeWhole(p.path(name), func(w io.Writer) error { return writers[p.format](p, w, d) })
}

func (p *paper) csv(w io.Writer, d *sheet.Document) error {
	t, err := p.wanted(d)
	if err != nil {
		return err
	}
	return sheet.CSV(w, d, t)
}

// wanted is the table that --table names, or the document's first.
func (p *paper) wanted(d *sheet.Document) (*sheet.Table, error) {
	if p.table == "" {
		return d.Tables[0], nil
	}
	if p.table == "all" {
		return nil, wrongCall{errors.New("--table all writes several files: it needs --out FILE.csv")}
	}
	t, ok := d.Table(p.table)
	if !ok {
		var known []string
		for _, t := range d.Tables {
			known = append(known, t.Name)
		}
		return nil, wrongCall{fmt.Errorf("--table: %w", fields.NoSuch("table", "tables", p.table, append(known, "all")))}
	}
	return t, nil
}

// print writes a document for a person at a terminal, or as JSON.
func (p *paper) print(d *sheet.Document) error {
	if p.json {
		return paperJSON(p.papers(), d)
	}
	lines := []string{d.Farm + ": " + d.Title}
	for _, f := range d.FactPairs() {
		lines = append(lines, f[0]+": "+f[1])
	}
	for i := range d.Sections {
		lines = append(lines, sectionLines(d, &d.Sections[i])...)
	}
	lines = append(lines, "", strings.ToUpper("Cautions"))
	for _, c := range d.Cautions {
		lines = append(lines, "- "+c)
	}
	return p.show(nil, append(lines, p.onlyHere()...))
}

func sectionLines(d *sheet.Document, s *sheet.Section) []string {
	lines := append([]string{"", strings.ToUpper(s.Title)}, s.Lines...)
	for _, t := range s.Tables {
		if t.Title != s.Title {
			lines = append(lines, t.Title+":")
		}
		rows := d.Rows(t)
		if total := d.Total(t); total != nil {
			rows = append(rows, total)
		}
		lines = append(lines, indent(table(texts(d.Headings(t)), eachTexts(rows)))...)
	}
	return lines
}

func texts(cells []sheet.Cell) []string {
	list := make([]string, len(cells))
	for i, c := range cells {
		list[i] = c.Text
	}
	return list
}

func eachTexts(rows [][]sheet.Cell) [][]string {
	list := make([][]string, len(rows))
	for i, r := range rows {
		list[i] = texts(r)
	}
	return list
}
