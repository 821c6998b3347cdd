package setfile

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// chart is what is printed under the lid for one box and one species.
type chart struct {
	at           node
	box, species string
	points       []chartPoint
}

type chartPoint struct {
	at, says node
	dial     string // a number or a mark
	rate     string // "" takes the point away
}

func (c *chart) called() string { return c.box + ", " + c.species }
func (c *chart) place() node    { return c.at }

// keys are the keys of a chart.
func (c *chart) keys() []key {
	return []key{
		{"box", text(&c.box)},
		{"species", text(&c.species)},
		{"points", c.readPoints},
	}
}

func readChart(n node) (*chart, error) {
	c := &chart{at: n}
	err := n.keys("a chart", c.keys()...)
	if err == nil && (c.box == "" || c.species == "" || len(c.points) == 0) {
		err = n.refuse("a chart needs box, species and points, such as {20: 18 lb/ac}")
	}
	return c, err
}

// readPoints reads a mapping from dial to rate; none takes a point away.
func (c *chart) readPoints(n node) error {
	if len(n.Content)%2 != 0 || len(n.Content) == 0 || n.Content[0].Kind == 0 {
		return n.refuse("points are written as dial and rate, such as {20: 18 lb/ac}")
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		p := chartPoint{at: n.child(i), says: n.child(i + 1)}
		var err error
		if p.dial, err = p.at.word(); err != nil {
			return err
		}
		if p.rate, err = p.says.word(); err != nil {
			return err
		}
		if p.rate == "none" {
			p.rate = ""
		}
		c.points = append(c.points, p)
	}
	return nil
}

func (w *writer) setChart(c *chart) error {
	id, err := w.refer(c.at, "box", c.box, w.boxes, w.boxThings())
	if err != nil {
		return err
	}
	dial, lines := w.dialOfBox(id), map[units.Dial]int{}
	printed := w.printed(id, c.species)
	for _, p := range c.points {
		b, note, err := c.point(p, &dial)
		if err != nil {
			return err
		}
		if first := lines[b.Dial]; first > 0 {
			return p.at.refuse("dial %s stands twice in the chart: first on line %d; leave one out", words.Mark(dial, 0, b.Dial), first)
		}
		lines[b.Dial], b.Box = p.at.Line, id
		if now := printed[b.Dial]; now.Rate == b.Rate && now.Printed == b.Printed {
			continue
		}
		printed[b.Dial] = farm.ChartPoint{Dial: b.Dial, Rate: b.Rate}
		if _, err := w.add(p.at, b); err != nil {
			return err
		}
		w.note(p.says, note)
	}
	return c.rises(&dial, printed)
}

// point reads one point by the box's dial, and says how a rate in bushels was
// read.
func (c *chart) point(p chartPoint, dial *farm.Box) (*entry.ChartPointSet, string, error) {
	d, err := dial.ReadDial(0, p.dial)
	if err != nil {
		return nil, "", p.at.wrap(err)
	}
	b := &entry.ChartPointSet{Species: c.species, Dial: d}
	if p.rate == "" {
		return b, "", nil
	}
	r, in, err := rate.ReadRate(p.rate, c.species)
	if err != nil {
		return nil, "", p.says.wrap(err)
	}
	if r == 0 {
		return nil, "", p.says.refuse("a chart's rate is more than 0; none takes the point away")
	}
	b.Rate, b.Printed = r, in.Printed
	return b, bushelNote(in, r.Format(units.US)), nil
}

// bushelNote says what an amount in bushels came to, and by whose weight.
func bushelNote(in rate.InBushels, is string) string {
	if in.Printed == "" {
		return ""
	}
	return in.Printed + " is " + is + " at " + in.By.String()
}

// printed is the chart of a box for a species, by dial.
func (w *writer) printed(box entry.ID, species string) map[units.Dial]farm.ChartPoint {
	now, _ := w.view.BoxOf(box)
	points := map[units.Dial]farm.ChartPoint{}
	for _, p := range now.Chart {
		if strings.EqualFold(p.Species, species) {
			points[p.Dial] = p
		}
	}
	return points
}

// rises refuses a chart whose rates do not rise from point to point, or fall
// where the dial is reversed: nothing can be read off it.
func (c *chart) rises(dial *farm.Box, points map[units.Dial]farm.ChartPoint) error {
	list := slices.SortedFunc(maps.Values(points), func(a, b farm.ChartPoint) int { return cmp.Compare(a.Dial, b.Dial) })
	list = slices.DeleteFunc(list, func(p farm.ChartPoint) bool { return p.Rate == 0 })
	falls := dial.DialTo < dial.DialFrom
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if a.Rate == b.Rate || (a.Rate > b.Rate) != falls {
			want := "rise with the dial, or fall where the dial is written reversed, such as dial: {from: 60, to: 0}"
			switch {
			case len(dial.MarksOf(0)) > 0:
				want = "rise from mark to mark: write the marks in the order from least seed to most"
			case falls:
				want = "fall as the dial goes up, since the dial is written reversed"
			}
			return c.at.refuse("the chart gives %s at dial %s and %s at dial %s; its rates must %s",
				a.Rate.Format(units.US), words.Mark(*dial, 0, a.Dial), b.Rate.Format(units.US), words.Mark(*dial, 0, b.Dial), want)
		}
	}
	return nil
}
