package page

import (
	"math"
	"strings"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// nowView is what is where now.
type nowView struct {
	Drills  []drillCard
	Grounds []farm.Ground
	Loose   []boxCard // boxes of no drill that is set
}

// drillCard is a drill with its boxes.
type drillCard struct {
	farm.Drill
	Boxes   []boxCard
	Working farm.Ground // of the latest reading
}

func now(q *request) (any, error) {
	v := nowView{Grounds: q.View.Grounds}
	for _, d := range q.View.Drills {
		c := drillCard{Drill: d}
		if d.Reading != nil {
			c.Working, _ = q.View.GroundOf(d.Reading.Ground)
		}
		v.Drills = append(v.Drills, c)
	}
	for _, b := range q.View.Boxes {
		v.put(q.boxCard(b))
	}
	return v, nil
}

func (v *nowView) put(b boxCard) {
	for i := range v.Drills {
		if v.Drills[i].ID == b.Drill {
			v.Drills[i].Boxes = append(v.Drills[i].Boxes, b)
			return
		}
	}
	v.Loose = append(v.Loose, b)
}

// boxCard is a box as it stands now.
type boxCard struct {
	farm.Box
	Holds []held
	First string // the side that runs dry first, where there are several
	Only  int    // entries about it that are on this device alone
}

// held is seed of one lot, in one side.
type held struct {
	Lot  farm.Lot
	Side string
	Mass units.Mass
}

func (q *request) boxCard(b farm.Box) boxCard {
	c := boxCard{Box: b, First: sideName(b, b.DryFirst), Only: q.onlyOf(b.Events)}
	for _, s := range b.Seed {
		l, _ := q.View.LotOf(s.Lot)
		c.Holds = append(c.Holds, held{l, sideName(b, s.Side), s.Mass})
	}
	return c
}

// MixedText says which species a box gives together, and that no chart tells
// the dial for them; empty where it gives one alone.
func (q *request) MixedText(b farm.Box) string {
	last := len(b.Mixed) - 1
	if last < 0 {
		return ""
	}
	text := texts.Text("box.mixed", strings.ToLower(texts.Text("box.mixed.and", strings.Join(b.Mixed[:last], ", "), b.Mixed[last])))
	if b.Rate != nil {
		text += " " + texts.Text("box.mixed.rate")
	}
	return text
}

// sideName is what the crew calls a side; empty for the whole box.
func sideName(b farm.Box, side int64) string {
	if side < 1 || side > int64(len(b.Sides)) {
		return ""
	}
	return b.Sides[side-1]
}

// boxView is one box, and what happened to it.
type boxView struct {
	boxCard
	Drill   farm.Drill
	History []words.Line // latest first
	More    bool
}

// Card is the box by itself.
func (v boxView) Card() boxCard { return v.boxCard }

// recent is how much of a thing's history its own view shows.
const recent = 8

func oneBox(q *request) (any, error) {
	b, err := q.pathBox()
	if err != nil {
		return nil, err
	}
	v := boxView{boxCard: q.boxCard(b)}
	v.Drill, _ = q.View.DrillOf(b.Drill)
	v.History, v.More = q.latest(b.Events)
	return v, nil
}

// latest is the last few of some entries, the latest first.
func (q *request) latest(ids []entry.ID) (lines []words.Line, more bool) {
	for i := len(ids) - 1; i >= 0 && len(lines) < recent; i-- {
		if l, ok := q.page.farm.Line(ids[i]); ok {
			lines = append(lines, l)
		}
	}
	return lines, len(ids) > recent
}

// groundView is one piece of ground, what was sown on it and what came up.
type groundView struct {
	farm.Ground
	Stands  []stand
	History []words.Line
	More    bool
}

func oneGround(q *request) (any, error) {
	g, err := q.pathGround()
	if err != nil {
		return nil, err
	}
	v := groundView{Ground: g, Stands: q.stands(g)}
	v.History, v.More = q.latest(g.Events)
	return v, nil
}

// DoneText says how much of a piece is done, where that is known.
func (q *request) DoneText(g farm.Ground) string {
	if g.Open {
		return texts.Text("ground.notknown", aboutArea(g.Area, q.System))
	}
	return texts.Text("ground.done", aboutArea(g.Done, q.System), aboutArea(g.Area, q.System))
}

// FieldText says what the rate may be in the field as long as no run was
// weighed, and what to do about it.
func (q *request) FieldText(c boxCard) string {
	if c.Field == nil || c.Weighed {
		return ""
	}
	after := texts.Text("box.field.acres")
	if q.System == units.Metric {
		after = texts.Text("box.field.hectares")
	}
	return texts.Text("box.field", span(c.Field.Low.Format(q.System), c.Field.High.Format(q.System)), after)
}

// FinishText says what to pour to finish the ground being worked.
func (q *request) FinishText(c boxCard) string {
	if c.Finish == nil {
		return ""
	}
	var likely, pour units.Mass
	for i, m := range c.Finish.Sure {
		likely, pour = likely+c.Finish.Likely[i], pour+m
	}
	heavy := func(m units.Mass) string { return roughMass(m, q.System).Format(q.System) }
	ground := q.View.NameOf(c.Working)
	if pour == 0 {
		return texts.Text("box.enough", ground, heavy(c.Finish.Over))
	}
	text := texts.Text("box.finish", ground, pourText(likely, pour, q.System))
	if c.Finish.Bags > 0 {
		text += texts.Count("box.finish.bags", int(c.Finish.Bags))
	}
	for i, m := range c.Finish.Sure {
		if name := sideName(c.Box, int64(i+1)); name != "" && len(c.Finish.Sure) > 1 {
			text += texts.Text("box.finish.side", name, pourText(c.Finish.Likely[i], m, q.System))
		}
	}
	if c.Finish.Later > 0 {
		text += texts.Text("box.finish.later", heavy(c.Finish.Later))
	}
	return text + "."
}

// pourText is what to pour: likely, and at most.
func pourText(likely, most units.Mass, s units.System) string {
	switch {
	case most == 0:
		return texts.Text("box.finish.none")
	case likely == 0:
		return texts.Text("box.finish.maybe", roughMass(most, s).Format(s))
	}
	return texts.Text("box.finish.likely", roughMass(likely, s).Format(s), roughMass(most, s).Format(s))
}

// MovedText says how the last weighed run departs from those before it at the
// same dial, where it likely does.
func (c boxCard) MovedText() string {
	d := c.Moved
	if d == nil || !d.Likely() {
		return ""
	}
	return sure(texts.Text("box.moved."+upOrDown(d), farOff(d)...), d)
}

func upOrDown(d *rate.Drift) string {
	if d.Change < 0 {
		return "down"
	}
	return "up"
}

// farOff is how far a drift goes, and from where to where.
func farOff(d *rate.Drift) []any {
	return []any{percent(math.Abs(d.Change)), span(percent(d.Low), percent(d.High))}
}

// sure adds to a text where a drift is likely and not sure.
func sure(text string, d *rate.Drift) string {
	if d.Sure() {
		return text
	}
	return text + " " + texts.Text("box.drift.likely")
}

// ChartText says how the catches lie beside the chart, where the two disagree by
// more than both are in doubt by.
func (c boxCard) ChartText() string {
	if c.OffChart == 0 {
		return ""
	}
	return texts.Text("box.offchart", rate.Beside(c.OffChart))
}

// DriftText says how what was weighed departs from what chart and catches say,
// where it likely does.
func (c boxCard) DriftText() string {
	d := c.Drift
	if d == nil || !d.Likely() {
		return ""
	}
	return sure(texts.Text("box.drift."+upOrDown(d), farOff(d)...), d)
}
