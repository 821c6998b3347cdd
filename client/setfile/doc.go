package setfile

import (
	_ "embed"
	"strings"
)

//go:embed SETFILE.md
var page string

// KeyDoc says what a key of a set file is. SETFILE.md is where it is written.
type KeyDoc struct {
	Of      string // the part that it is a key of: drill, boxes, dial of boxes, ..
	Key     string
	What    string
	Range   string
	Example string
}

// Keys are all keys of a set file, in the order of its parts.
func Keys() []KeyDoc {
	var list []KeyDoc
	part, of := "", ""
	for line := range strings.Lines(page) {
		if name, ok := strings.CutPrefix(line, "## "); ok {
			part = strings.TrimSpace(name)
			continue
		}
		cells := strings.Split(strings.TrimSpace(line), " | ")
		if !strings.HasPrefix(line, "| ") || len(cells) < 2 || strings.HasPrefix(line, "| ---") {
			continue
		}
		for i := range cells {
			cells[i] = strings.Trim(strings.ReplaceAll(cells[i], "`", ""), "| ")
		}
		if sub, ok := strings.CutPrefix(cells[0], "key of "); ok {
			of = sub + " of " + part
			continue
		}
		if cells[0] == "key" {
			of = part
			continue
		}
		cells = append(cells, "", "")
		list = append(list, KeyDoc{of, cells[0], cells[1], cells[2], cells[3]})
	}
	return list
}
