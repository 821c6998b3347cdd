// Package setfile reads a set file: one YAML file in which a crew writes down
// its drill, boxes, chart, ground, lots, plans and checks, in the units that
// people write.
//
// A file says what should be so. Entries compares that with what is so and
// gives the entries that are missing, so that setting a file twice writes
// nothing the second time, and a later file changes only what it names. Things
// are matched by their names.
//
// Reading is strict: an unknown key, a key or a name that stands twice, a
// quantity in the wrong unit or a reference to nothing is a [Problem] with
// line and column, and then nothing of the file is written.
package setfile

import (
	"errors"
	"strings"

	"go.yaml.in/yaml/v4"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
)

// MaxSize is how many bytes of a file are read: a set file is written by hand,
// and a boundary of 3,000 corners takes less than a tenth of this.
const MaxSize = 1 << 20

// What a file is refused for that its caller may know a way round.
var (
	ErrCrew       = errors.New("the crew is not set here") // people are invited
	ErrWhichDrill = errors.New("there are several drills") // the caller may say which
)

// File is a set file that was read and found in order. It never changes.
type File struct {
	at     node
	drill  *drill
	boxes  []*box
	chart  []*chart
	ground []*ground
	lots   []*lot
	plans  []*plan
	checks *checks
}

// Parse reads a file's text; name is what problems call it. Every error is a
// *Problem.
func Parse(name string, data []byte) (*File, error) {
	if len(data) > MaxSize {
		return nil, &Problem{File: name, What: "the file is larger than 1 MiB, which no set file is"}
	}
	var doc yaml.Node
	if err := yaml.Load(data, &doc); err != nil {
		return nil, syntax(name, data, err)
	}
	top := node{&doc, name}
	if doc.Kind == yaml.DocumentNode && len(doc.Content) == 1 {
		top = top.child(0)
	}
	f := &File{at: top}
	return f, f.read(top)
}

// syntax is what is wrong with a file that is no YAML.
func syntax(name string, data []byte, err error) error {
	p := &Problem{File: name, What: strings.TrimPrefix(err.Error(), "yaml: "), cause: err}
	var bad *yaml.LoadError
	switch {
	case errors.As(err, &bad) && bad.Mark.Line > 0:
		p.Line, p.Column, p.What = bad.Mark.Line, bad.Mark.Column, plainSyntax.Replace(bad.Message)
		if bad.ContextMsg != "" {
			p.What += ", " + plainSyntax.Replace(bad.ContextMsg)
		}
		if begun := bad.ContextMark.Line; begun > 0 && begun != bad.Mark.Line {
			p.What += " that began on line " + decimal(begun)
		}
	case strings.Contains(err.Error(), "no documents"):
		p.What = emptyFile
	case errors.As(err, &bad):
		p.What = strings.TrimPrefix(bad.Message, "yaml: ")
	}
	if p.Line > 0 {
		p.What += ": look there, and on the line above, for a bracket, a quote, a colon or blanks that are wrong"
	}
	return p
}

const emptyFile = "the file is empty: write into it what should be so, such as drill: {name: borrowed drill, rows: 16}"

// plainSyntax puts the reader's words for parts of a file into plain ones.
var plainSyntax = strings.NewReplacer(
	"found character that cannot start any token", "a mark that nothing begins with, such as a tab (lines are moved in by blanks)",
	"while scanning for the next token", "between two values",
	"did not find expected", "missing", "could not find expected", "missing", "while parsing a", "in a", "while scanning a", "in a",
	"node content", "a value", "flow node", "list within { } or [ ]", "block node", "list", "flow mapping", "list of keys within { }", "flow sequence", "list within [ ]", "block mapping", "list of keys", "block collection", "list of items",
	"block sequence", "list of items", "simple key", "key", "<block end>", "the end of it", "<stream end>", "the end of the file",
	"plain scalar", "value", "quoted scalar", "quoted text", "found unexpected end of stream", "the file ends too early", "mapping values are not allowed in this context", "a colon where no key may stand",
)

func (f *File) read(top node) error {
	if top.Tag == "!!null" {
		return &Problem{File: top.file, What: emptyFile}
	}
	return top.keys("a set file", f.keys()...)
}

// keys are the keys of a set file.
func (f *File) keys() []key {
	return []key{
		{"drill", func(n node) (err error) { f.drill, err = readDrill(n); return err }},
		{"boxes", list(&f.boxes, "boxes", readBox)},
		{"chart", list(&f.chart, "the chart", readChart)},
		{"ground", list(&f.ground, "ground", readGround)},
		{"lots", list(&f.lots, "lots", readLot)},
		{"plan", list(&f.plans, "the plan", readPlan)},
		{"checks", func(n node) (err error) { f.checks, err = readChecks(n); return err }},
		{"crew", func(n node) error {
			return n.wrap(ErrCrew)
		}},
	}
}

// named is an item of a list that may stand there only once.
type named interface {
	called() string // "" where the item has no name of its own
	place() node
}

// list reads a list whose items have names of their own.
func list[T named](dst *[]T, what string, read func(node) (T, error)) func(node) error {
	return func(n node) error {
		lines := map[string]int{}
		return n.items(what, func(item node) error {
			v, err := read(item)
			if err != nil {
				return err
			}
			if first := lines[v.called()]; first > 0 {
				return v.place().refuse("%q stands twice in %s: first on line %d; leave one out", v.called(), what, first)
			}
			lines[v.called()] = v.place().Line
			*dst = append(*dst, v)
			return nil
		})
	}
}

// Hints are doubts about the file that stand in nobody's way, each a line with
// its place: a species that the built-in table lacks may be a slip of the pen.
func (f *File) Hints() []string {
	var hints []string
	for _, l := range f.lots {
		if !l.set.Species.Set {
			continue
		}
		if _, err := rate.FindSpecies(l.set.Species.Val); err != nil {
			hints = append(hints, l.at.wrap(err).Error())
		}
	}
	return hints
}

// Outcome is what setting a file comes to.
type Outcome struct {
	Bodies []entry.Body // in an order in which none comes before one that it refers to
	Notes  []string     // what was worked out or taken out on the way, each a line with its place
}

// Entries are the bodies of [File.Outcome].
func (f *File) Entries(v *farm.View, on entry.ID, next func(i int) entry.ID) ([]entry.Body, error) {
	o, err := f.Outcome(v, on, next)
	return o.Bodies, err
}

// Outcome is what brings the farm to what the file says; no bodies where all is
// so already. next(i) is the ID that the i-th of them will have. Where the file
// names no drill, on is the drill that its boxes belong to; zero is the farm's
// only one. Every error is a *Problem.
func (f *File) Outcome(v *farm.View, on entry.ID, next func(i int) entry.ID) (Outcome, error) {
	w := &writer{view: v, next: next, boxes: map[string]entry.ID{}, grounds: map[string]entry.ID{},
		lots: map[string]entry.ID{}, dials: map[entry.ID]farm.Box{}}
	if err := f.write(w, on); err != nil {
		return Outcome{}, err
	}
	return Outcome{w.bodies, w.notes}, nil
}

func (f *File) write(w *writer, on entry.ID) error {
	if err := w.setDrill(f, on); err != nil {
		return err
	}
	for _, steps := range []func() error{
		func() error { return each(f.boxes, w.setBox) },
		func() error { return each(f.chart, w.setChart) },
		func() error { return each(f.ground, w.setGround) },
		func() error { return each(f.lots, w.setLot) },
		func() error { return each(f.plans, w.setPlan) },
	} {
		if err := steps(); err != nil {
			return err
		}
	}
	return w.setChecks(f.checks)
}

func each[T any](items []T, do func(T) error) error {
	for _, it := range items {
		if err := do(it); err != nil {
			return err
		}
	}
	return nil
}
