package simtest

import (
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// matters are what a story can look at, each a list of lines.
var matters = map[string]func(*shower) []string{
	"ready":  (*shower).ready,
	"boxes":  (*shower).boxes,
	"acres":  (*shower).acres,
	"plan":   (*shower).plan,
	"lots":   (*shower).lots,
	"crew":   (*shower).crew,
	"doubts": (*shower).doubts,
	"left":   (*shower).left,
}

// shower shows one place's view of the farm.
type shower struct {
	w *World
	p *Place
	v *farm.View
}

// Show is what a place shows of some matters.
func (w *World) Show(p *Place, topics []string) ([]string, error) {
	s := &shower{w, p, p.View()}
	var out []string
	for _, t := range topics {
		show, ok := matters[t]
		if !ok {
			return nil, fmt.Errorf("%q is nothing to look at", t)
		}
		out = append(out, show(s)...)
	}
	return out, nil
}

func (s *shower) name(id entry.ID) string { return s.v.NameOf(id) }

func (s *shower) list(ids []entry.ID) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = s.w.Called(id)
	}
	return strings.Join(out, ", ")
}

func (s *shower) ready() []string {
	var out []string
	for _, d := range s.v.Drills {
		h := d.Hitch
		if h.Ready {
			out = append(out, d.Name+": ready")
			continue
		}
		parts := []string{d.Name + ": not ready"}
		for _, x := range h.Holds {
			parts = append(parts, fmt.Sprintf("hold %s by %s", s.w.Called(x.Entry), s.name(x.By))+s.seenBy(x.Seen))
		}
		for _, m := range h.Missing {
			parts = append(parts, "missing: "+strings.TrimPrefix(m.Message().String(), "missing."))
		}
		out = append(out, strings.Join(parts, "; "))
	}
	if s.v.Waiting > 0 {
		out = append(out, fmt.Sprintf("%d wait", s.v.Waiting))
	}
	return out
}

// seenBy names who has seen a hold, in the order in which they did.
func (s *shower) seenBy(all []farm.HoldSeen) (text string) {
	for i, by := range all {
		text += []string{", seen by ", ", "}[min(i, 1)] + s.name(by.Person)
	}
	return text
}

func (s *shower) boxes() []string {
	var out []string
	for _, b := range s.v.Boxes {
		parts := []string{"box " + b.Name + ":"}
		if b.DialSet {
			parts = append(parts, "dial "+b.Dial.String())
		}
		for _, sd := range b.SideDials {
			parts = append(parts, fmt.Sprintf("dial of side %d %s", sd.Side, sd.Dial))
		}
		if len(b.Seed) == 0 {
			parts = append(parts, "empty")
		}
		for _, sd := range b.Seed {
			side := ""
			if sd.Side > 0 {
				side = fmt.Sprintf(" in side %d", sd.Side)
			}
			parts = append(parts, sd.Mass.Format(units.US)+" of "+s.name(sd.Lot)+side)
		}
		out = append(out, strings.Replace(strings.Join(parts, ", "), ":,", ":", 1))
	}
	return out
}

func (s *shower) acres() []string {
	var out []string
	for _, g := range s.v.Grounds {
		least := ""
		if g.Open {
			least = "not known, at least "
		}
		line := fmt.Sprintf("%s: %s%s of %s", g.Name, least, g.Done.Format(units.US), g.Area.Format(units.US))
		for _, x := range g.Sown {
			line += fmt.Sprintf(", %s of %s", x.Mass.Format(units.US), s.name(x.Lot))
		}
		out = append(out, line)
	}
	return out
}

func (s *shower) plan() []string {
	var out []string
	for _, g := range s.v.Grounds {
		line := "plan of " + g.Name + ":"
		for _, p := range g.Plan {
			line += fmt.Sprintf(" %s in %s at %s live;", s.name(p.Lot), s.name(p.Box), p.Live.Format(units.US))
		}
		if g.Depth > 0 {
			line += " depth " + g.Depth.Format(units.US) + ";"
		}
		if g.Nurse != "" {
			line += " nurse " + g.Nurse + ";"
		}
		out = append(out, strings.TrimSuffix(line, ";"))
	}
	return out
}

func (s *shower) lots() []string {
	var out []string
	for _, l := range s.v.Lots {
		out = append(out, fmt.Sprintf("lot %s: %s, %s bags in, %s out, %s filled", l.Name, l.Species, l.BagsIn, l.BagsOut, l.Filled.Format(units.US)))
	}
	return out
}

func (s *shower) crew() []string {
	var out []string
	for _, m := range s.v.Crew {
		line := m.Name + ": " + m.Role.String()
		if m.Stopped {
			line += ", stopped"
		}
		for _, d := range s.v.Devices {
			if d.Person != m.ID {
				continue
			}
			line += ", on " + d.Name
			if !d.Joined {
				line += " (no place)"
			}
			if d.Stopped {
				line += " (stopped)"
			}
		}
		out = append(out, line)
	}
	return out
}

func (s *shower) doubts() []string {
	var out []string
	for d := range s.v.Doubts() {
		word := "doubt "
		if d.Settled {
			word = "settled "
		}
		out = append(out, fmt.Sprintf("%s%s, %s: %s", word, d.Kind, d.About, s.list(d.Entries)))
	}
	slices.Sort(out)
	if len(out) == 0 {
		out = append(out, "no doubt")
	}
	return out
}

// left are the entries that are left out of the state, or changed by others.
func (s *shower) left() []string {
	var out []string
	s.p.rep.Read(func(st *farm.State) {
		for _, l := range st.Lines() {
			what := ""
			switch {
			case l.LeftOut != "":
				what = "left out: " + strings.TrimPrefix(string(l.LeftOut), "left-out.")
			case l.Struck:
				what = "struck"
			case l.Amended:
				what = "amended"
			default:
				continue
			}
			out = append(out, s.w.Called(l.ID)+" "+what)
		}
	})
	return out
}
