package naive

import (
	"flag"
	"fmt"
	"maps"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

var exhaustive = flag.Bool("exhaustive", false, "try every sequence of two hostile acts after a stop (105,120 cases), not some")

// deed is one hostile thing to do, to somebody.
type deed struct{ kind, who string }

var deeds = []deed{{"enter", ""}, {"copy", ""}, {"stop", "Ada"}, {"stop", "Bob"}, {"stop", "Hal"},
	{"promote", "Hal"}, {"promote", "Mal"}, {"lower", "Bob"}, {"note", ""}}

// hostile is a farm of Ada's: Bob and Mal are owners, Hal is a helper.
type hostile struct {
	ada, mal *device
	all      map[string]*device
	extra    map[*device]bool // thieves
}

func newHostile(first bool) *hostile {
	a := found("Ada")
	h := &hostile{ada: a, all: map[string]*device{"Ada": a}, extra: map[*device]bool{}}
	order := []string{"Bob", "Mal"}
	if first {
		order = []string{"Mal", "Bob"}
	}
	for _, n := range order {
		h.all[n] = a.letIn(n, entry.Owner)
	}
	h.all["Hal"] = a.letIn("Hal", entry.Helper)
	h.mal = h.all["Mal"]
	meet(slices.Collect(maps.Values(h.all))...)
	return h
}

// act is Mal's doing of a deed, after an entry of his, having seen some.
func (h *hostile) act(d deed, prev *raw, seen []*raw, n int) (thief *device) {
	m := h.mal
	m.learn(seen...)
	var know *device
	if know = h.all[d.who]; know != nil {
		d.who = know.called
	}
	hows := []how{after(prev), seeing(seen...)}
	called := fmt.Sprint("T", n)
	switch d.kind {
	case "enter":
		p := m.member(called, entry.Owner, hows...)
		thief = m.w.enrol(called, &invite{secret: secret("enter"), person: p, role: entry.Owner})
		m.admit(thief, seeing(seen...))
	case "copy":
		thief = m.w.enrol(called, h.all["Hal"].invited)
		m.admit(thief, hows...)
	case "promote":
		m.role(know.person, entry.Owner, hows...)
	case "lower":
		m.role(know.person, entry.Viewer, hows...)
	case "stop":
		m.stop(know, append(hows, clock(^hlc.Time(0)))...)
	default:
		m.note(append(hows, clock(^hlc.Time(0)))...)
	}
	if thief != nil {
		m.has[thief.first] = true
	}
	return thief
}

// TestNothingShownAfterAStopChangesWhoBelongs lets a hostile owner do one thing
// or none before the founder's stop, of which she hears in time or not, and
// every sequence of up to two things after it, on every branch point of his
// log, having seen nothing, the founding, all before the stop or all of it. Who
// belongs, and with which role, stays as it was.
func TestNothingShownAfterAStopChangesWhoBelongs(t *testing.T) {
	e := &explorer{t: t, every: 1}
	if !*exhaustive {
		e.every = 307
	}
	for _, first := range []bool{true, false} {
		for _, pre := range append([]deed{{}}, deeds...) {
			for _, told := range []bool{true, false} {
				e.explore(first, pre, told)
			}
		}
	}
	t.Logf("%d cases, %d of them tried: who belongs changed in %d", e.total, e.tried, e.bad)
	if *exhaustive && e.total != 105_120 {
		t.Errorf("%d cases, want 105,120", e.total)
	}
}

type explorer struct {
	t                 *testing.T
	every             int // tries one in so many of those of two acts
	total, tried, bad int
}

func (e *explorer) explore(first bool, pre deed, told bool) {
	h := newHostile(first)
	a, m := h.ada, h.mal
	before := without(a.has, m)
	var thief *device
	if pre.kind != "" {
		thief = h.act(pre, m.top, before, 0)
		if told {
			maps.Copy(a.has, m.has)
		}
	}
	a.stop(m)
	if thief != nil && told {
		a.stop(thief)
	}
	for _, n := range []string{"Bob", "Hal"} {
		a.admit(h.all[n])
	}
	for _, n := range []string{"Bob", "Hal"} {
		a.role(h.all[n].person, h.all[n].invited.role)
	}
	want := a.w.crewOf(a.has)
	if want["Ada"] != entry.Owner || want["Bob"] != entry.Owner || want["Hal"] != entry.Helper || want["Mal"] != 0 || want["T0"] != 0 {
		e.t.Fatalf("%v told %t: after the stop %v belong", pre, told, want)
	}
	views := [][]*raw{{}, {a.first}, before, without(a.has, m)}
	own := ownOf(m)
	has := maps.Clone(m.has)
	for _, d1 := range deeds {
		for _, v1 := range views {
			for _, p1 := range own {
				m.has = maps.Clone(has)
				h.act(d1, p1, v1, 1)
				e.total++
				e.check(h, want, 1, pre, told, d1)
				has1 := maps.Clone(m.has)
				e.second(h, want, has1, views, pre, told, d1)
			}
		}
	}
}

func (e *explorer) second(h *hostile, want map[string]entry.Role, has map[*raw]bool, views [][]*raw, pre deed, told bool, d1 deed) {
	own := ownOf(h.mal)
	for _, d2 := range deeds {
		for i := 1; i < len(views); i += 2 {
			for j := 0; j < len(own); j += 2 {
				if e.total++; e.total%e.every != 0 {
					continue
				}
				h.mal.has = maps.Clone(has)
				h.act(d2, own[j], views[i], 2)
				e.check(h, want, e.every, pre, told, d1, d2)
			}
		}
	}
}

func (e *explorer) check(h *hostile, want map[string]entry.Role, every int, what ...any) {
	e.tried++
	got := h.ada.w.crewOf(holding(h.ada, h.mal))
	if maps.Equal(got, want) {
		return
	}
	if e.bad++; e.bad <= 3 {
		e.t.Errorf("after %v: %v belong, before %v", what, got, want)
	}
}

// ownOf are a device's own entries, on all branches.
func ownOf(d *device) []*raw {
	var out []*raw
	for r := range d.has {
		if r.dev == d {
			out = append(out, r)
		}
	}
	slices.SortFunc(out, compareRaw)
	return out
}

func without(has map[*raw]bool, d *device) []*raw {
	var out []*raw
	for r := range has {
		if r.dev != d {
			out = append(out, r)
		}
	}
	return out
}
