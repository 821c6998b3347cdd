package main

import (
	"strings"
	"unicode/utf8"
)

// table sets rows under their headings; the last column may be as long as it
// likes. It is nothing where there are no rows.
func table(head []string, rows [][]string) []string {
	if len(rows) == 0 {
		return nil
	}
	all := append([][]string{head}, rows...)
	widths := make([]int, len(head))
	for _, row := range all {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	lines := make([]string, len(all))
	for n, row := range all {
		var b strings.Builder
		for i, cell := range row {
			b.WriteString(cell)
			if i < len(row)-1 {
				b.WriteString(strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2))
			}
		}
		lines[n] = strings.TrimRight(b.String(), " ")
	}
	return lines
}
