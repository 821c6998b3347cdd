package page

import (
	"encoding/json"
	"io"
	"maps"
	"net/http"
	"slices"
	"time"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// The page's script keeps what is typed, and what could not be sent, on the
// device: assets/draft.js. What it needs of the page is here.

const (
	// againWithin is how soon after a writing the same again is asked about.
	againWithin = 10 * time.Minute
	// undoWithin is how long what was written can be taken back by one touch.
	undoWithin = 5 * time.Minute
	// longestNumber is more than a form's number has, in bytes.
	longestNumber = 64
)

// Number is a number for a form, by which it is known when it comes again. A
// form that was posted keeps its own while it is shown again.
func (q *request) Number() string {
	if n := q.r.PostForm.Get("number"); n != "" && len(n) <= longestNumber {
		return n
	}
	return random()
}

// Posted says whether a form's fields stand as they were typed, not as they
// begin.
func (q *request) Posted() bool { return q.r.Method == http.MethodPost }

// freshToken gives this browser the token that its forms carry: a form that was
// open while the program was started again carries an old one. No other page
// can read the answer.
func (p *Page) freshToken(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = io.WriteString(w, p.token(p.session(w, r)))
}

// brief says whether the page's script asks, which wants to know no more than
// where to go, or that there is something to show first.
func (q *request) brief() bool { return q.r.Header.Get("Accept") == "application/json" }

func (q *request) tell(w http.ResponseWriter, status int, to string) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(map[string]string{"to": to}) // the browser may have gone
}

// goOn leads to another view.
func (q *request) goOn(w http.ResponseWriter, to string) {
	if q.brief() {
		q.tell(w, http.StatusOK, to)
		return
	}
	http.Redirect(w, q.r, to, http.StatusSeeOther)
}

// wroteOrSorry is for a form that is about nothing any more: since it was written
// already, or for another reason.
func (q *request) wroteOrSorry(w http.ResponseWriter, err error) {
	if ids, _ := q.page.farm.Written(q.r.PostForm.Get("number")); len(ids) > 0 {
		q.goOn(w, wroteTo("/log", ids))
		return
	}
	q.sorry(w, err)
}

// unasked is a form that is never asked about for coming twice: since nothing
// may stand in its way, or because the record asks by itself.
type unasked interface{ unasked() }

func (*heldForm) unasked() {}
func (*fillForm) unasked() {}

// carried are the fields of a form that say nothing of what was done.
var carried = []string{"token", "number", "who", "answer", "change", "again"}

// said is a form by its address and who writes, and what it says.
func (q *request) said() (form, said string) {
	vals := maps.Clone(q.vals)
	maps.DeleteFunc(vals, func(name string, _ []string) bool { return slices.Contains(carried, name) })
	return q.r.URL.Path + " " + q.Who.String(), vals.Encode()
}

// twice is a writing that says the same as the one before it.
type twice struct {
	Wrote  []words.Line
	Ago    string
	Action string
	Fields []field
}

// asksAgain asks, once, whether what was written minutes ago happened again.
func (q *request) asksAgain(w http.ResponseWriter, wr writer) bool {
	if _, never := wr.(unasked); never || q.Name == "sorry" || q.Has("answer") || q.Val("again") == "yes" {
		return false
	}
	done, err := q.page.farm.Written(q.r.PostForm.Get("number"))
	if err != nil || len(done) > 0 {
		return false // it comes again by itself
	}
	ids, wall, err := q.page.farm.LastSaid(q.said())
	past := q.now().Sub(time.UnixMilli(wall))
	if err != nil || len(ids) == 0 || past < 0 || past > againWithin {
		return false
	}
	t := twice{Wrote: q.linesOf(ids), Ago: texts.Count("again.ago", max(1, int(past.Minutes()))), Action: q.r.URL.Path, Fields: q.posted("token", "again")}
	if slices.ContainsFunc(t.Wrote, func(l words.Line) bool { return l.Struck }) {
		return false
	}
	if q.Val("again") == "no" {
		q.goOn(w, wroteTo(wr.done(), ids))
		return true
	}
	q.Name, q.Data = "again", t
	q.render(w, http.StatusConflict)
	return true
}

func (q *request) linesOf(ids []entry.ID) (lines []words.Line) {
	for _, id := range ids {
		if l, ok := q.page.farm.Line(id); ok {
			lines = append(lines, l)
		}
	}
	return lines
}

// Undo are the entries that the form before this view wrote, where one touch
// takes them back: all of them, none where one cannot be.
func (q *request) Undo() (ids []entry.ID) {
	if !q.undoable(q.Wrote) {
		return nil
	}
	for _, l := range q.Wrote {
		ids = append(ids, l.ID)
	}
	return ids
}

// undoable says whether entries are the last that were written here, by whoever
// writes, a moment ago, and may be struck.
func (q *request) undoable(lines []words.Line) bool {
	if len(lines) == 0 {
		return false
	}
	me := q.page.farm.Device().Log()
	for _, l := range lines {
		past := q.now().Sub(time.UnixMilli(l.Wall))
		if l.ID.Log != me || l.Person != q.Who || l.Struck || l.NotSigned() || l.Kind == entry.KindStruck || !farm.Strikable(l.Kind) ||
			past < 0 || past > undoWithin {
			return false
		}
	}
	return lines[len(lines)-1].ID.Seq == q.own()
}

// undoForm takes back what was written a moment ago.
type undoForm struct {
	lines []words.Line
	back  string
}

func (f *undoForm) load(q *request) error {
	for _, s := range q.vals["entry"] {
		if id, err := entry.ParseID(s); err == nil {
			f.lines = append(f.lines, q.linesOf([]entry.ID{id})...)
		}
	}
	f.back = local(q.Val("back"))
	return nil
}

func (f *undoForm) bodies(q *request) []entry.Body {
	if !q.undoable(f.lines) {
		q.refuse("", texts.Text("undo.late"))
		return nil
	}
	var strikes []client.Intent
	for _, l := range f.lines {
		strikes = append(strikes, client.Strike{Entry: l.ID, Why: texts.Text("undo.why")})
	}
	return q.intend(nil, strikes...)
}

func (f *undoForm) done() string { return f.back }

// DraftsOf is the farm whose drafts a view may show.
func (q *request) DraftsOf() string { return q.page.farm.ID().String() }
