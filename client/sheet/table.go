package sheet

import (
	"slices"

	"turnrow/sync/units"
)

// Table is rows of values under columns that say what they are. Every writer
// of a document takes its figures from here.
type Table struct {
	Name    string // for files and programs, such as "sown"
	Title   string
	Note    string // what to know when reading it; "" where nothing
	columns []column
	rows    [][]value
	total   []value // nil where adding up says nothing
}

// column is what stands in one place of each row.
type column struct {
	key    string // for programs, without its unit
	head   string // for people
	kind   kind
	weight float64 // how much of the width words get, 1 being usual
	quiet  bool    // for programs alone
}

func col(key, head string, k kind) column { return column{key: key, head: head, kind: k} }

func wide(key, head string, weight float64) column {
	return column{key: key, head: head, kind: prose, weight: weight}
}

// quiet is a column for programs alone.
func quiet(key string, k kind) column { return column{key: key, kind: k, quiet: true} }

// heading is the head with its unit, for people.
func (c column) heading(s units.System) string {
	return withUnit(c.head, ", ", c.kind.unit(s).people)
}

// program is the key with its unit at the end, for programs.
func (c column) program(s units.System) string {
	return withUnit(c.key, "_", c.kind.unit(s).program)
}

func withUnit(name, between, unit string) string {
	if name == "" || unit == "" {
		return name + unit
	}
	return name + between + unit
}

func (t *Table) add(row ...value) { t.rows = append(t.rows, row) }

// Empty says whether the table has no rows.
func (t *Table) Empty() bool { return t == nil || len(t.rows) == 0 }

func (t *Table) place(key string) int {
	return slices.IndexFunc(t.columns, func(c column) bool { return c.key == key })
}

// only is the rows whose column holds a text, without that column, under a
// title of its own.
func (t *Table) only(key, is, title string) *Table {
	at := t.place(key)
	out := &Table{Name: t.Name, Title: title, Note: t.Note, columns: without(t.columns, at)}
	for _, row := range t.rows {
		if row[at] == is {
			out.rows = append(out.rows, without(row, at))
		}
	}
	return out
}

// hidden is the table without the columns that are empty in every row, or that
// are named.
func (t *Table) hidden(keys ...string) *Table {
	out := *t
	for i := len(t.columns) - 1; i >= 0; i-- {
		if c := t.columns[i]; c.quiet || slices.Contains(keys, c.key) || out.blank(i) {
			out.columns, out.total = without(out.columns, i), without(out.total, i)
			rows := make([][]value, len(out.rows))
			for n, row := range out.rows {
				rows[n] = without(row, i)
			}
			out.rows = rows
		}
	}
	return &out
}

func (t *Table) blank(i int) bool {
	for _, row := range t.rows {
		if row[i] != nil && row[i] != "" {
			return false
		}
	}
	return len(t.rows) > 0
}

func without[T any](list []T, i int) []T {
	if i >= len(list) {
		return list
	}
	return slices.Concat(list[:i], list[i+1:])
}
