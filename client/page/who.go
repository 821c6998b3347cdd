package page

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// whoSeconds is how long a chosen person is kept after writing: long enough
// for a fill and a reading, short enough that the next hand is asked.
const whoSeconds = 10 * 60

// writing is who writes on this screen: whoever was chosen, for a while;
// otherwise the device's own person. A shared device has no person of its own.
func (p *Page) writing(r *http.Request, v *farm.View) (who entry.ID, asked bool) {
	chosen := p.cookie(r, "who")
	if c, err := url.QueryUnescape(chosen); err == nil {
		chosen = c
	}
	if r.Method == http.MethodPost && r.PostForm.Has("who") {
		chosen = r.PostForm.Get("who") // as the form showed it
	}
	if id, err := entry.ParseID(chosen); err == nil && isCrew(v, id) {
		return id, id != p.farm.Person() || p.opts.Shared
	}
	if p.opts.Shared {
		return entry.ID{}, false
	}
	return p.farm.Person(), false
}

func isCrew(v *farm.View, id entry.ID) bool {
	return slices.ContainsFunc(v.Crew, func(m farm.Member) bool { return m.ID == id && !m.Stopped })
}

// person is who an entry is recorded for; zero is the device's own.
func (q *request) person() entry.ID {
	if q.Who == q.page.farm.Person() {
		return entry.ID{}
	}
	return q.Who
}

// wroteBy keeps whoever wrote as the one writing, for a while more.
func (p *Page) wroteBy(w http.ResponseWriter, q *request) {
	if q.Asked {
		p.setCookie(w, "who", url.QueryEscape(q.Who.String()), whoSeconds)
	}
}

// asking is the question who is writing, with the form that waits for it.
type asking struct {
	Crew   []farm.Member
	Action string
	Fields []field
}

type field struct{ Name, Value string }

// ask asks who is writing, and posts the form again with the answer.
func (q *request) ask(w http.ResponseWriter) {
	q.Name, q.Data = "who", asking{Crew: q.crew(), Action: q.r.URL.Path, Fields: q.posted("who", "token")}
	q.render(w, http.StatusOK)
}

// posted is what was posted, in order, but for some fields.
func (q *request) posted(but ...string) (fields []field) {
	for _, name := range slices.Sorted(maps.Keys(q.vals)) {
		for _, v := range q.vals[name] {
			if !slices.Contains(but, name) {
				fields = append(fields, field{name, v})
			}
		}
	}
	return fields
}

// Crew are the people who may be chosen.
func (q *request) Crew() []farm.Member { return q.crew() }

func (q *request) crew() []farm.Member {
	return slices.DeleteFunc(slices.Clone(q.View.Crew), func(m farm.Member) bool { return m.Stopped })
}

// who shows the crew, to choose who is writing.
func (p *Page) who(w http.ResponseWriter, r *http.Request) {
	q := p.request(w, r, "who")
	q.Data = asking{Crew: q.crew(), Action: "/who", Fields: []field{{"back", local(r.URL.Query().Get("back"))}}}
	q.render(w, http.StatusOK)
}

func (p *Page) setWho(w http.ResponseWriter, r *http.Request) {
	p.set(w, r, func() {
		id, err := entry.ParseID(r.PostFormValue("who"))
		if err == nil && isCrew(p.farm.View(), id) {
			p.setCookie(w, "who", url.QueryEscape(id.String()), whoSeconds)
		} else {
			p.setCookie(w, "who", "", -1)
		}
	})
}

func (p *Page) setUnits(w http.ResponseWriter, r *http.Request) {
	p.set(w, r, func() {
		if s, err := units.ParseSystem(r.PostFormValue("units")); err == nil {
			p.setCookie(w, "units", s.String(), 365*24*3600)
		}
	})
}

// set takes a choice that concerns this screen alone, and goes back.
func (p *Page) set(w http.ResponseWriter, r *http.Request, keep func()) {
	if !p.tokenFits(r) {
		http.Error(w, texts.Text("safe.token"), http.StatusForbidden)
		return
	}
	keep()
	http.Redirect(w, r, local(r.PostFormValue("back")), http.StatusSeeOther)
}

// local is an address on this page; the first view for any other.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(to, "//") || strings.Contains(to, "\\") {
		return "/"
	}
	return to
}
