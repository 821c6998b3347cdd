package page

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
)

// writer is a form that writes something down. Templates see it as the view's
// data.
type writer interface {
	// load finds what the form is about.
	load(q *request) error
	// bodies reads what was typed. What is wrong with it goes into the form.
	bodies(q *request) []entry.Body
	// done is where to go when it is written.
	done() string
}

// previewer is a form that can say what comes of what is typed so far.
type previewer interface {
	preview(q *request)
}

// form serves a form and takes what is posted.
func (p *Page) form(path, name string, make func() writer) {
	p.mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) {
		q := p.request(w, r, name)
		wr := make()
		if err := wr.load(q); err != nil {
			q.sorry(w, err)
			return
		}
		q.Data = wr
		q.Wrote = q.wrote()
		if pr, ok := wr.(previewer); ok {
			pr.preview(q)
			if q.vals.Has("preview") {
				q.write(w, http.StatusOK, "preview")
				return
			}
		}
		q.render(w, http.StatusOK)
	})
	p.post(path, name, make)
}

// button takes what is posted by a form that another view shows.
func (p *Page) button(path string, make func() writer) { p.post(path, "sorry", make) }

func (p *Page) post(path, name string, make func() writer) {
	p.mux.HandleFunc("POST "+path, func(w http.ResponseWriter, r *http.Request) {
		if err := r.ParseForm(); err != nil {
			http.Error(w, texts.Text("form.size"), http.StatusRequestEntityTooLarge)
			return
		}
		q := p.request(w, r, name)
		wr := make()
		if err := wr.load(q); err != nil {
			q.wroteOrSorry(w, err)
			return
		}
		q.Data = wr
		if !p.tokenFits(r) {
			q.refuse("", texts.Text("safe.token"))
			q.again(w, http.StatusForbidden)
			return
		}
		p.answer(w, q, wr)
	})
}

// answer writes down what was posted, once, by whoever is known to write.
func (p *Page) answer(w http.ResponseWriter, q *request, wr writer) {
	if q.Who.IsZero() && p.opts.Shared {
		q.ask(w)
		return
	}
	if q.form.obeyed(); len(q.Wrong) > 0 {
		q.again(w, http.StatusUnprocessableEntity)
		return
	}
	if q.Has("change") { // somebody thought better of what was asked about
		q.again(w, http.StatusOK)
		return
	}
	if q.asksAgain(w, wr) {
		return
	}
	ids, err := q.record(func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		q.View, q.next = look(), next
		bodies := wr.bodies(q)
		if len(q.Wrong) > 0 {
			return nil, errWrong
		}
		return bodies, nil
	})
	var un *client.Unanswered
	if errors.As(err, &un) {
		q.question(w, un.Questions[0])
		return
	}
	if err != nil {
		if !errors.Is(err, errWrong) {
			q.refuseErr("", err)
		}
		q.again(w, http.StatusUnprocessableEntity)
		return
	}
	p.wroteBy(w, q)
	q.goOn(w, wroteTo(wr.done(), ids))
}

// errWrong is a form with something wrong in it, which the form tells.
var errWrong = errors.New("the form is not right yet")

// again shows the form with what was typed and what is wrong. What a button of
// another view posted is told on a view of its own.
func (q *request) again(w http.ResponseWriter, status int) {
	if q.Name == "sorry" {
		q.Data = q.firstWrong()
	} else if pr, ok := q.Data.(previewer); ok {
		pr.preview(q)
	}
	q.render(w, status)
}

func (q *request) firstWrong() string {
	if t := q.Wrong[""]; t != "" {
		return t
	}
	for _, t := range q.Wrong {
		return t
	}
	return ""
}

// wroteTo is an address that names what was written, to be shown there.
func wroteTo(to string, ids []entry.ID) string {
	path, anchor, _ := strings.Cut(to, "#")
	var list []string
	for _, id := range ids {
		if len(list) < mostTold {
			list = append(list, id.String())
		}
	}
	sep := "?"
	if strings.Contains(path, "?") {
		sep = "&"
	}
	out := path + sep + "wrote=" + url.QueryEscape(strings.Join(list, ","))
	if anchor != "" {
		out += "#" + anchor
	}
	return out
}

// mostTold is how many entries of one form are told one by one.
const mostTold = 3

// wrote is what the form before this view wrote.
func (q *request) wrote() (lines []words.Line) {
	for _, s := range strings.Split(q.r.URL.Query().Get("wrote"), ",") {
		id, err := entry.ParseID(s)
		if err != nil {
			continue
		}
		if l, ok := q.page.farm.Line(id); ok {
			lines = append(lines, l)
		}
	}
	return lines
}
