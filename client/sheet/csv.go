package sheet

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"turnrow/client/safetext"
	"turnrow/sync/units"
)

// byteOrderMark tells a spreadsheet that a file is UTF-8. It is left out of a
// file that is plain ASCII, which needs none.
const byteOrderMark = "\ufeff"

// CSV writes one table (RFC 4180): a row of keys with their units, then the
// rows, without totals, in the document's system of units. Numbers have a
// decimal point and no separators, shares are fractions of one, days and times
// are ISO 8601.
//
// A text that a spreadsheet would take for a formula gets an apostrophe in
// front, so that nobody's note runs on somebody else's machine. A lot whose name
// is a plain number is a number to a spreadsheet: CSV has no way to say
// otherwise that programs read alike.
func CSV(w io.Writer, d *Document, t *Table) error {
	var b strings.Builder
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	record := make([]string, len(t.columns))
	for i, c := range t.columns {
		record[i] = c.program(d.System)
	}
	if err := out.Write(record); err != nil {
		return err
	}
	for _, row := range t.rows {
		for i := range record {
			record[i] = spreadsheet(row[i], d.System)
		}
		if err := out.Write(record); err != nil {
			return err
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return err
	}
	text := b.String()
	if len(text) != utf8.RuneCountInString(text) {
		text = byteOrderMark + text
	}
	_, err := io.WriteString(w, text)
	return err
}

func spreadsheet(v value, s units.System) string {
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		return strings.ToUpper(strconv.FormatBool(v))
	case string:
		return harmless(safetext.Lines(v))
	case moment:
		return v.Format("2006-01-02 15:04:05")
	case Day, units.Money, units.Dial, units.Turns, units.Reading, units.Count:
		return v.(interface{ String() string }).String()
	}
	x, ok := float(v, s)
	if !ok {
		return ""
	}
	return strconv.FormatFloat(rounded(x), 'f', -1, 64)
}

// harmless keeps a text from being run as a formula (OWASP, CSV Injection).
func harmless(text string) string {
	first, _ := utf8.DecodeRuneInString(text)
	if text != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", first) { // the wide ones are signs to some spreadsheets
		return "'" + text
	}
	return text
}
