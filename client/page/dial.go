package page

import (
	"maps"
	"net/url"
	"strings"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// reasons are the short words for why a dial was moved; the last asks for
// words of one's own.
var reasons = []string{"aim", "catch", "lot", "thin", "thick", "other"}

// dialForm writes that a dial was moved.
type dialForm struct {
	Box     farm.Box
	Reasons []string
	Lot     farm.Lot
	Gives   *rate.RateEstimate // at the mark that is typed
	Choice  *rate.DialChoice   // for the aim
}

func (f *dialForm) load(q *request) (err error) {
	f.Reasons = reasons
	if f.Box, err = q.pathBox(); err != nil {
		return err
	}
	f.Lot, _ = q.View.LotOf(q.bottomLot(f.Box))
	return nil
}

// bottomLot is the lot that goes out of a box next, or is planned to.
func (q *request) bottomLot(b farm.Box) entry.ID {
	if len(b.Seed) > 0 {
		return b.Seed[0].Lot
	}
	if lots := q.plannedLots(b); len(lots) > 0 {
		return lots[0]
	}
	return entry.ID{}
}

func (f *dialForm) bodies(q *request) []entry.Body {
	q.need("to")
	side := q.side("side", f.Box)
	to := q.Dial("to", f.Box, side)
	return q.intend(say{client.Missing: "form.why"}, client.Dial{Box: f.Box.ID, Side: side, To: to, Why: q.why(),
		Reading: q.Counter("reading")})
}

// why is the reason that was chosen and the words that were added to it.
func (q *request) why() string {
	var parts []string
	if r := q.Val("reason"); r != "" && r != "other" {
		parts = append(parts, texts.Text("reason."+r))
	}
	if q.Has("why") {
		parts = append(parts, q.Val("why"))
	}
	if len(parts) == 0 {
		q.refuse("why", texts.Text("form.why"))
	}
	return strings.Join(parts, ": ")
}

func (f *dialForm) done() string { return "/box/" + f.Box.ID.String() }

// preview says what the box gives at the mark that is typed, and where the
// curve puts the aim.
func (f *dialForm) preview(q *request) {
	f.Choice = f.Box.ForAim
	side, _ := q.find().Side(f.Box, q.sideText("side"))
	to, err := f.Box.ReadDial(side, q.Or("to", words.Mark(f.Box, 0, f.Box.Dial)), units.DecimalComma())
	if err != nil {
		return
	}
	c, err := q.page.farm.Curve(f.Box.ID, f.Lot.ID)
	if err != nil {
		return
	}
	if est, err := c.Fit.RateAt(to); err == nil {
		f.Gives = &est
	}
}

func cloned(v url.Values) url.Values { return maps.Clone(v) }
