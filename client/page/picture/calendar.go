package picture

import "html/template"

// Bar is one row of a calendar: something to be expected from one day to
// another.
type Bar struct {
	Name        string
	From, To    int64   // days
	Late        int64   // from this day on it is late
	Done        []int64 // days on which it was looked at
	Begun       int64   // the day from which it is counted
	BegunBy, By string
}

// Calendar is a picture of bars over days.
type Calendar struct {
	ID           string
	Title, About string
	Today        int64
	Write        func(day int64) string
	Bars         []Bar
	// What the legend calls its parts.
	TodayLabel, BandLabel, LateLabel, DoneLabel, BegunLabel string
}

const (
	rowDepth   = 52.0
	calendarTo = width - right
)

// SVG draws the calendar.
func (k Calendar) SVG() template.HTML {
	low, high := k.Today, k.Today
	for _, b := range k.Bars {
		low, high = min(low, b.Begun, b.From), max(high, b.Late+1)
	}
	c := &canvas{sx: scale{float64(low), float64(high), 12, calendarTo}}
	end := top + rowDepth*float64(len(k.Bars))
	entries := k.legend()
	c.open(k.ID, k.Title, k.About, width, end+26+legendAt*float64(len(entries)))
	for i, b := range k.Bars {
		c.bar(b, top+rowDepth*float64(i))
	}
	c.days(k, low, high, end)
	for i, e := range entries {
		c.entry(e, end+26+legendAt*(float64(i)+0.5))
	}
	return c.close()
}

func (k Calendar) legend() (out []legendEntry) {
	out = append(out, legendEntry{label: k.BegunLabel, shape: Down}, legendEntry{label: k.BandLabel, pattern: "band"}, legendEntry{label: k.LateLabel, pattern: "late"})
	for _, b := range k.Bars {
		if len(b.Done) > 0 {
			out = append(out, legendEntry{label: k.DoneLabel, shape: Round})
			break
		}
	}
	return append(out, legendEntry{label: k.TodayLabel, pattern: "now"})
}

func (c *canvas) bar(b Bar, y float64) {
	c.text(2, y+16, "start", b.Name)
	x := func(day int64) float64 { return c.sx.at(float64(day)) }
	from, to := x(b.From), x(b.To+1)
	c.printf(`<path class="band" d="M%[1]s %[3]sH%[2]sV%[4]sH%[1]sZ"/>`, number(from), number(to), number(y+24), number(y+42))
	c.segment("late", x(b.Late), y+20, x(b.Late), y+46)
	c.shape(Down, x(b.Begun), y+33)
	for _, d := range b.Done {
		if c.sx.within(float64(d)) {
			c.shape(Round, x(d), y+33)
		}
	}
	c.segment("grid", 0, y+rowDepth, width, y+rowDepth)
}

// days marks the days below the rows, and today through all of them.
func (c *canvas) days(k Calendar, low, high int64, end float64) {
	step := max(1, int64(roundStep(float64(high-low)/4)))
	for d := low; d <= high; d += step {
		at := c.sx.at(float64(d))
		c.segment("tick", at, end, at, end+5)
		anchor := "middle"
		switch {
		case at < 30:
			anchor = "start"
		case at > width-30:
			anchor = "end"
		}
		c.text(at, end+19, anchor, k.Write(d))
	}
	c.segment("now", c.sx.at(float64(k.Today)), top-8, c.sx.at(float64(k.Today)), end)
}
