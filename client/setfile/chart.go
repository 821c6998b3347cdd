package setfile

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// chart is what is printed under the lid for one box and one species.
type chart struct {
	at           node
	box, species string
	points       []chartPoint
}

type chartPoint struct {
	at   node
	dial units.Dial
	rate units.RatePerArea // 0 takes the point away
}

func (c *chart) called() string { return c.box + ", " + c.species }
func (c *chart) place() node    { return c.at }

func readChart(n node) (*chart, error) {
	c := &chart{at: n}
	err := n.keys("a chart",
		key{"box", text(&c.box)},
		key{"species", text(&c.species)},
		key{"points", c.readPoints})
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
	lines := map[units.Dial]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		p, err := readPoint(n.child(i), n.child(i+1))
		if err != nil {
			return err
		}
		if first := lines[p.dial]; first > 0 {
			return p.at.refuse("dial %v stands twice in the chart: first on line %d", p.dial, first)
		}
		lines[p.dial] = p.at.Line
		c.points = append(c.points, p)
	}
	return nil
}

func readPoint(at, says node) (chartPoint, error) {
	p := chartPoint{at: at}
	var dial entry.Opt[units.Dial]
	if err := quantity(&dial, units.ParseDial)(at); err != nil {
		return p, err
	}
	p.dial = dial.Val
	w, err := says.word()
	if err != nil || w == "none" {
		return p, err
	}
	if p.rate, err = units.ParseRate(w); err == nil && p.rate == 0 {
		return p, says.refuse("a chart's rate is more than 0; none takes the point away")
	}
	return p, says.wrap(err)
}

func (w *writer) setChart(c *chart) error {
	id, err := w.refer(c.at, "box", c.box, w.boxes, w.boxThings())
	if err != nil {
		return err
	}
	now, _ := w.view.BoxOf(id)
	for _, p := range c.points {
		if printed(now, c.species, p.dial) == p.rate {
			continue
		}
		if _, err := w.add(p.at, &entry.ChartPointSet{Box: id, Species: c.species, Dial: p.dial, Rate: p.rate}); err != nil {
			return err
		}
	}
	return nil
}

// printed is the rate of a chart point, 0 where there is none.
func printed(b farm.Box, species string, dial units.Dial) units.RatePerArea {
	for _, p := range b.Chart {
		if strings.EqualFold(p.Species, species) && p.Dial == dial {
			return p.Rate
		}
	}
	return 0
}
