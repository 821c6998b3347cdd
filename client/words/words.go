package words

import (
	_ "embed"
	"fmt"
	"iter"
	"strings"

	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

//go:embed english.txt
var englishText string

// english is what the core says, in English.
var english = Read(englishText)

// Words puts messages into words.
type Words struct {
	cat    Catalogue
	system units.System
}

// English is English words with figures in one system of units.
func English(s units.System) Words { return Words{english, s} }

// Of is English words with figures in the units that a farm shows: a view of it,
// or its state.
func Of(f interface{ System() units.System }) Words { return English(f.System()) }

// Text is a message in words; "" for the message that says nothing.
func (w Words) Text(m message.Message) string {
	switch m.ID {
	case "":
		return ""
	case message.Commas, message.Semicolons:
		return strings.Join(w.args(m.Args), w.cat[string(m.ID)]+" ")
	}
	text, ok := w.cat[string(m.ID)]
	if !ok {
		text, ok = w.cat[string(m.ID)+oneOrMany(m.Args)]
	}
	if !ok {
		return m.String()
	}
	if len(m.Args) == 0 {
		return text
	}
	args := w.args(m.Args)
	if n := strings.Count(text, "%s"); n < len(args) && !strings.Contains(text, "%[") {
		args = args[len(args)-n:] // .one of a number that its words have in them
	}
	all := make([]any, len(args))
	for i, a := range args {
		all[i] = a
	}
	return fmt.Sprintf(text, all...)
}

// oneOrMany is the end of the key of a message that counts something.
func oneOrMany(args []message.Arg) string {
	if len(args) > 0 {
		if q, ok := args[0].(message.Quantity); ok && (q == message.Whole(1) || q == message.Decimal(int64(1000))) {
			return ".one"
		}
	}
	return ".many"
}

func (w Words) args(args []message.Arg) []string {
	out := make([]string, len(args))
	for i, a := range args {
		out[i] = w.Arg(a)
	}
	return out
}

// Arg is an argument of a message in words.
func (w Words) Arg(a message.Arg) string {
	switch a := a.(type) {
	case message.Message:
		return w.Text(a)
	case message.Text:
		return string(a)
	case message.Term:
		if t, ok := w.cat[a.List+"."+a.Word]; ok {
			return t
		}
		return a.Word
	case message.Name:
		return a.Name
	case message.Quantity:
		return w.quantity(a)
	case message.Span:
		return w.span(a)
	}
	return ""
}

func (w Words) span(s message.Span) string {
	if s.Outward {
		return rate.Between(s.Low, s.High, w.system)
	}
	low, _, _ := strings.Cut(s.Low.Format(w.system), " ")
	return low + " to " + s.High.Format(w.system)
}

func (w Words) quantity(q message.Quantity) string {
	switch q.Unit {
	case message.UnitMass:
		return w.mass(q)
	case message.UnitArea:
		if q.Style == message.About {
			return units.Area(q.N).About(w.system)
		}
		return units.Area(q.N).Format(w.system)
	case message.UnitRate:
		if q.Style == message.AsWritten {
			return units.RatePerArea(q.N).Written(w.system)
		}
		return units.RatePerArea(q.N).Format(w.system)
	case message.UnitDensity:
		return units.Density(q.N).Format(w.system)
	case message.UnitLength:
		if q.Style == message.AsWritten {
			return units.Length(q.N).As(q.In, w.system)
		}
		return units.Length(q.N).Format(w.system)
	case message.UnitVolume:
		if q.Style == message.AsWritten {
			return units.Volume(q.N).As(q.In, w.system)
		}
		return units.Volume(q.N).Format(w.system)
	case message.UnitMoney:
		return units.Money(q.N).Format("")
	case message.UnitTimes:
		return rate.Beside(float64(q.N) / 1e6)
	case message.UnitMetres:
		return units.Count(q.N / 1000).String()
	}
	return q.String()
}

func (w Words) mass(q message.Quantity) string {
	m := units.Mass(q.N)
	switch q.Style {
	case message.About:
		return m.About(w.system)
	case message.AsWritten:
		return m.As(q.In, w.system)
	case message.AsWeighed:
		return m.As(q.In, units.Metric)
	}
	return m.Format(w.system)
}

// Kind is a kind of doubt in plain words, such as "two settings of a dial"; a
// kind of a version to come is as it is written.
func Kind(k farm.DoubtKind) string {
	return English(units.US).Arg(message.TermOf("doubt", string(k)))
}

// Look is what to go and look at for a kind of doubt.
func Look(k farm.DoubtKind) string { return english["look."+string(k)] }

// Doubt is a doubt in words.
type Doubt struct {
	farm.Doubt
	About, What, Why, Look string
	Choices                []Choice
}

// Choice is a choice in words.
type Choice struct {
	farm.Choice
	What, Figure string
}

// Doubt puts a doubt into words.
func (w Words) Doubt(d farm.Doubt) Doubt {
	out := Doubt{Doubt: d, About: w.Text(d.About), What: w.Text(d.What), Why: w.Text(d.Why), Look: Look(d.Kind)}
	for _, c := range d.Choices {
		out.Choices = append(out.Choices, Choice{c, w.Text(c.What), w.Text(c.Figure)})
	}
	return out
}

// Doubts is all that is in doubt, as farm.View.Doubts gives it, each in words as
// it is come to.
func Doubts(v *farm.View) iter.Seq[Doubt] {
	w := Of(v)
	return func(yield func(Doubt) bool) {
		for d := range v.Doubts() {
			if !yield(w.Doubt(d)) {
				return
			}
		}
	}
}

// Line is a line of the audit in words.
type Line struct {
	farm.Line
	What, LeftOut, Void string
}

// Line puts a line of the audit into words.
func (w Words) Line(l farm.Line) Line {
	return Line{l, w.Text(l.What), w.id(l.LeftOut), w.id(l.Void)}
}

// Lines is the audit in words, as farm.State.Lines gives it.
func Lines(s *farm.State) []Line {
	w, all := Of(s), s.Lines()
	out := make([]Line, len(all))
	for i := range all {
		out[i] = w.Line(all[i])
	}
	return out
}

func (w Words) id(id message.ID) string { return w.Text(message.Message{ID: id}) }

// Missing is what stands against a hitch, in words.
func (w Words) Missing(all []farm.Missing) []string {
	var out []string
	for _, m := range all {
		out = append(out, w.Text(m.Message()))
	}
	return out
}

// On is where something was written, to follow a name: nothing where that was the
// writer's own device.
func On(v *farm.View, on farm.On) string {
	if on == (farm.On{}) {
		return ""
	}
	return english.Text("on-device", v.NameOf(on.Whose), on.Device)
}

// Seen is who has seen a hold and who has not, by clock as the reader has it:
// "seen by Ben 9:41, not yet by Ada"; nothing where there is nobody to see it.
func Seen(v *farm.View, h *farm.Hold, clock func(wall int64) string) string {
	var seen, not []string
	for _, by := range h.Seen {
		seen = append(seen, v.NameOf(by.Person)+On(v, by.On)+" "+clock(by.Wall))
	}
	for _, m := range v.NotSeen(h) {
		not = append(not, m.Name)
	}
	by, others := strings.Join(seen, ", "), strings.Join(not, ", ")
	switch {
	case others == "" && by == "":
		return ""
	case others == "":
		return english.Text("hold-seen.by", by)
	case by == "":
		return english.Text("hold-seen.not", others)
	}
	return english.Text("hold-seen.not-yet", by, others)
}

// Mark is a setting as it stands on a dial of a box.
func Mark(b farm.Box, side int64, d units.Dial) string { return English(units.US).Arg(b.Mark(side, d)) }
