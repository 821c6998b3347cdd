package page

import (
	"net/http"
	"net/url"
	"slices"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// openHold is a hold that stands, as the bar over each view shows it.
type openHold struct {
	farm.Hold
	Drill    farm.Drill
	All      bool         // it is of every drill, and there are several
	Stranger bool         // it is by a device that waits to be let in
	Mine     bool         // it was raised on this device, or by whoever writes here
	Notes    []words.Line // what was said about it since
}

// mostHolds is how many holds the bar has room for; more are counted.
const mostHolds = 2

// Holds are the holds that stand, the latest first.
func (q *request) Holds() (all []openHold) {
	for _, d := range q.View.Drills {
		for _, h := range d.Hitch.Holds {
			all = q.withHold(all, d, h, false)
		}
		for _, h := range d.Hitch.Strangers {
			all = q.withHold(all, d, h, true)
		}
	}
	slices.SortStableFunc(all, func(a, b openHold) int { return int(b.Wall - a.Wall) })
	return all
}

// HoldsOn are the holds on a drill that count.
func (q *request) HoldsOn(d farm.Drill) (all []openHold) {
	for _, h := range d.Hitch.Holds {
		all = q.withHold(all, d, h, false)
	}
	return all
}

// withHold adds a hold once: one of every drill stands at each of them.
func (q *request) withHold(all []openHold, d farm.Drill, h farm.Hold, stranger bool) []openHold {
	for i := range all {
		if all[i].Entry == h.Entry {
			all[i].All = true
			return all
		}
	}
	mine := h.Entry.Log == q.page.farm.Device().Log() || h.By == q.Who && !stranger
	return append(all, openHold{Hold: h, Drill: d, Stranger: stranger, Mine: mine, Notes: q.notesOn(h.Entry)})
}

// notesOn is what was noted about a hold.
func (q *request) notesOn(hold entry.ID) (notes []words.Line) {
	for _, l := range q.page.linesOf(q.View) {
		if l.Kind == entry.KindNoted && slices.Contains(l.About, hold) && !l.Struck && l.LeftOut == "" {
			notes = append(notes, l)
		}
	}
	return notes
}

// Said is the words of a note.
func (q *request) Said(l words.Line) string {
	if n, ok := l.Body.(*entry.Noted); ok {
		return n.Text
	}
	return l.What
}

// Shown are the holds that the bar has room for.
func (q *request) Shown(all []openHold) []openHold { return all[:min(len(all), mostHolds)] }

// More is how many it has no room for.
func (q *request) More(all []openHold) int { return max(0, len(all)-mostHolds) }

// HoldTitle begins the title of each view while a hold stands, which is all that
// shows of a page behind others; empty where none does.
func (q *request) HoldTitle() string {
	all := q.Holds()
	if len(all) == 0 {
		return ""
	}
	return texts.Text("hold.headed", q.RaisedBy(all[0]), q.Clock(all[0].Wall))
}

// RaisedBy is who raised a hold.
func (q *request) RaisedBy(h openHold) string {
	if h.Stranger {
		return texts.Text("hold.stranger", q.DeviceName(h.Entry))
	}
	return q.View.NameOf(h.By) + words.On(q.View, h.On)
}

// HoldIcon is the icon of the page: another while a hold stands.
func (q *request) HoldIcon() string {
	if len(q.Holds()) > 0 {
		return assetAddress("hold.svg")
	}
	return assetAddress("icon.svg")
}

// holds is the bar alone, for a view that is open: a view that cannot be fetched
// again, such as the answer to a form, shows a hold like any other.
func (p *Page) holds(w http.ResponseWriter, r *http.Request) {
	p.request(w, r, "sorry").write(w, http.StatusOK, "holds")
}

// back is an address on this page as part of another's.
func back(to string) string { return url.QueryEscape(local(to)) }
