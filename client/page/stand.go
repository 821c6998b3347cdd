package page

import (
	"time"

	"turnrow/client"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// stand is a stand count and what it says.
type stand struct {
	words.Line
	Day     int64
	Species []speciesStand
}

type speciesStand struct {
	Species string
	rate.Stand
	Verdict rate.Verdict // against what was published; empty where nothing was
	Least   units.Density
}

// stands is the stand counts of a piece of ground, the latest first.
func (q *request) stands(g farm.Ground) (out []stand) {
	for i := len(g.Stands) - 1; i >= 0; i-- {
		l, ok := q.page.farm.Line(g.Stands[i])
		if !ok {
			continue
		}
		if b, ok := l.Now.(*entry.StandCounted); ok {
			out = append(out, stand{l, b.Day, standsOf(b)})
		}
	}
	return out
}

func standsOf(b *entry.StandCounted) (out []speciesStand) {
	frame := b.Frame
	if frame == 0 {
		var err error
		if frame, err = rate.FrameOfRow(b.Row, b.Spacing); err != nil {
			return nil
		}
	}
	for _, c := range b.Counts {
		s, err := rate.StandOf(frame, c.Plants)
		if err != nil {
			continue
		}
		ss := speciesStand{Species: c.Species, Stand: s}
		if sp, err := rate.FindSpecies(c.Species); err == nil {
			if t, ok := rate.ThresholdFor(sp); ok {
				ss.Verdict, ss.Least = s.Against(t), t.Least
			}
		}
		out = append(out, ss)
	}
	return out
}

// standForm writes a stand count.
type standForm struct {
	Ground  farm.Ground
	Species []string // sown or planned there
	Today   string
	Counted *speciesStand
}

func (f *standForm) load(q *request) (err error) {
	if f.Ground, err = q.pathGround(); err != nil {
		return err
	}
	f.Today = q.now().Format(time.DateOnly)
	seen := map[string]bool{"": true}
	add := func(lot entry.ID) {
		if l, ok := q.View.LotOf(lot); ok && !seen[l.Species] {
			seen[l.Species] = true
			f.Species = append(f.Species, l.Species)
		}
	}
	for _, s := range f.Ground.Sown {
		add(s.Lot)
	}
	for _, p := range f.Ground.Plan {
		add(p.Lot)
	}
	return nil
}

func (f *standForm) bodies(q *request) []entry.Body {
	q.need("frame")
	q.need("counts")
	b := f.read(q)
	b.Day = int64(q.Reader.Day("day", sheet.DayOf(q.now())))
	return q.intend(nil, b)
}

func (f *standForm) read(q *request) client.Stand {
	s := q.Stand()
	s.Ground = f.Ground.ID
	return s
}

func (f *standForm) done() string { return "/ground/" + f.Ground.ID.String() }

// preview says what the counts come to so far.
func (f *standForm) preview(q *request) {
	look := *q
	look.form = newForm(q.vals, q.System)
	b := f.read(&look)
	if len(look.Wrong) > 0 || b.Frame == 0 {
		return
	}
	if list := standsOf(&b.StandCounted); len(list) > 0 {
		f.Counted = &list[0]
	}
}
