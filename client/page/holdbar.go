package page

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"

	"turnrow/client"
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
	New      bool         // who writes here is to say that they have seen it
	Notes    []words.Line // what was said about it since
}

// mostHolds is how many holds the bar has room for; more are counted.
const mostHolds = 2

// Holds are the holds that stand: those that nobody here has seen first, then the
// latest.
func (q *request) Holds() []openHold {
	if q.open == nil {
		q.open = q.openHolds()
	}
	return q.open
}

func (q *request) openHolds() []openHold {
	all := []openHold{}
	for _, d := range q.View.Drills {
		for _, h := range d.Hitch.Holds {
			all = q.withHold(all, d, h, false)
		}
		for _, h := range d.Hitch.Strangers {
			all = q.withHold(all, d, h, true)
		}
	}
	slices.SortStableFunc(all, func(a, b openHold) int {
		switch {
		case a.New != b.New && a.New:
			return -1
		case a.New != b.New:
			return 1
		}
		return cmp.Compare(b.Wall, a.Wall)
	})
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
	return append(all, openHold{
		Hold: h, Drill: d, Stranger: stranger, Mine: mine, Notes: q.notesOn(h.Entry),
		New: !mine && !stranger && !slices.ContainsFunc(h.Seen, q.seenHere),
	})
}

// seenHere says whether it was whoever writes here who saw a hold; on a screen
// that several share, whoever said so on it stands for those around it.
func (q *request) seenHere(by farm.HoldSeen) bool {
	return by.Person == q.Who || q.page.opts.Shared && by.Entry.Log == q.page.farm.Device().Log()
}

// News are the holds of some that are to be acknowledged here.
func (q *request) News(all []openHold) []openHold {
	return slices.DeleteFunc(slices.Clone(all), func(h openHold) bool { return !h.New })
}

// SeenBy says who has seen a hold and when, and who has not; empty where nobody is
// there who could.
func (q *request) SeenBy(h openHold) string {
	if seen := words.Seen(q.View, &h.Hold, q.Clock); seen != "" {
		return sentence(seen)
	}
	return ""
}

// Unseen says whether there is somebody of whom nobody knows that they have seen a
// hold.
func (q *request) Unseen(h openHold) bool { return len(q.View.NotSeen(&h.Hold)) > 0 }

// seenForm says that whoever writes here has seen holds.
type seenForm struct{ back string }

func (f *seenForm) load(q *request) error {
	f.back = local(q.Val("back"))
	return nil
}

func (f *seenForm) bodies(q *request) []entry.Body {
	var s client.SeenHold
	for _, text := range q.vals["hold"] {
		if id, err := entry.ParseID(text); err == nil {
			s.Holds = append(s.Holds, id)
		}
	}
	if len(s.Holds) == 0 {
		q.refuse("", texts.Text("hitch.nohold"))
		return nil
	}
	return q.intend(nil, s)
}

func (f *seenForm) done() string { return f.back }

// At is the view that the bar lies over.
func (q *request) At() string {
	if q.r.URL.Path == "/holds" {
		return local(q.Val("at"))
	}
	return q.Here()
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
