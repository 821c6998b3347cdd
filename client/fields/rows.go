package fields

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// MostRows is how many rows a drill may have, as the record takes it.
const MostRows = 1000

// NoRow is the error for what names no row of a drill.
type NoRow struct{ Text string }

func (n *NoRow) Error() string {
	return fmt.Sprintf("%q names no row: numbers from 1 to %d are wanted, such as 1-4 or 3,7", n.Text, MostRows)
}

// RowTwice is the error for a row that is named twice.
type RowTwice struct{ Row int64 }

func (t *RowTwice) Error() string { return fmt.Sprintf("row %d: it must be named once", t.Row) }

// Rows is a field of rows by their numbers, counted from the left: one by one,
// or from one to another, such as 1-4. What is wrong is a *NoRow or a *RowTwice.
func (r *Reader) Rows(field string) (rows []int64) {
	for _, part := range r.ones(field) {
		part = strings.TrimSpace(part)
		first, last, ok := rowsFrom(part)
		if !ok {
			r.Refuse(field, &NoRow{part})
			return nil
		}
		for n := first; n <= last; n++ {
			if slices.Contains(rows, n) {
				r.Refuse(field, &RowTwice{n})
				return nil
			}
			rows = append(rows, n)
		}
	}
	return rows
}

// rowsFrom reads 7, or 1-4.
func rowsFrom(text string) (first, last int64, ok bool) {
	from, to, several := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	first, err := strconv.ParseInt(from, 10, 64)
	last = first
	if several && err == nil {
		last, err = strconv.ParseInt(to, 10, 64)
	}
	return first, last, err == nil && first >= 1 && last >= first && last <= MostRows
}
