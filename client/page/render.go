package page

import (
	"bytes"
	"embed"
	"errors"
	"html/template"
	"io"
	"io/fs"
	"math"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"turnrow/client"
	"turnrow/client/safetext"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

//go:embed templates/*.html
var files embed.FS

// views are the parsed templates, a set for each system of units.
var views = sync.OnceValue(func() [2]map[string]*template.Template {
	return [2]map[string]*template.Template{units.US: parseViews(units.US), units.Metric: parseViews(units.Metric)}
})

// parseViews reads each view's template together with those that all share,
// whose names begin with an underline.
func parseViews(s units.System) map[string]*template.Template {
	shared := template.Must(template.New("").Funcs(functions(s)).ParseFS(files, "templates/_*.html"))
	names, err := fs.Glob(files, "templates/[a-z]*.html")
	if err != nil {
		panic(err) // the pattern is right
	}
	out := map[string]*template.Template{}
	for _, n := range names {
		t := template.Must(template.Must(shared.Clone()).ParseFS(files, n))
		out[strings.TrimSuffix(strings.TrimPrefix(n, "templates/"), ".html")] = t
	}
	return out
}

// functions are what templates call.
func functions(s units.System) template.FuncMap {
	return template.FuncMap{
		"t": texts.Text, "n": texts.Count, "asset": assetAddress,
		"mass":     func(m units.Mass) string { return m.Format(s) },
		"grams":    units.Mass.FormatGrams,
		"whynot":   client.WhyNot,
		"about":    func(a units.Area) string { return aboutArea(a, s) },
		"areas":    func(low, high units.Area) string { return areas(low, high, s) },
		"masses":   func(low, high units.Mass) string { return masses(low, high, s) },
		"rates":    func(low, high units.RatePerArea) string { return span(low.Format(s), high.Format(s)) },
		"dials":    func(low, high units.Dial) string { return span(mark(low), mark(high)) },
		"plants":   func(low, high units.Density) string { return span(low.Format(s), high.Format(s)) },
		"minutes":  func(m *farm.Minutes) string { return spanOfTime(m.P10, m.P90) },
		"mark":     mark,
		"setting":  words.Mark,
		"ondevice": words.On,
		"dialon":   dialOn,
		"heavy":    func(m units.Mass) string { return roughMass(m, s).Format(s) },
		"rate":     func(r units.RatePerArea) string { return r.Format(s) },
		"area":     func(a units.Area) string { return a.Format(s) },
		"length":   func(l units.Length) string { return l.Format(s) },
		"density":  func(d units.Density) string { return d.Format(s) },
		"at":       entry.ID.String,
		"anchor":   func(id entry.ID) string { return strings.ReplaceAll(id.Short(), "/", "-") },
		"kind":     func(k entry.Kind) string { return texts.Text("kind." + k.String()) },
		"aim":      againstAim,
		"part": func(s units.Share) string {
			return strconv.FormatFloat(math.Round(s.Percent()*10)/10, 'f', -1, 64) + " %"
		},
		"look":      look,
		"doubtkind": doubtKind,
		"missing":   func(m farm.Missing) string { return words.English(s).Text(m.Message()) },
		"dict":      dict,
		"list":      func(p *pictured) []*pictured { return []*pictured{p} },
	}
}

// doubtKind is a kind of doubt as a heading.
func doubtKind(k farm.DoubtKind) string { return capital(words.Kind(k)) }

// capital is words that begin a heading or a sentence.
func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// sentence is words as a sentence of their own.
func sentence(text string) string { return capital(text) + "." }

// look says what to go and look at.
func look(text string) string {
	text = texts.Text("doubt.look", text)
	if !strings.HasSuffix(text, "?") {
		text += "."
	}
	return text
}

// dict is several values for one template.
func dict(pairs ...any) map[string]any {
	m := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		m[pairs[i].(string)] = pairs[i+1]
	}
	return m
}

// onAim is how near a rate is called on the aim: no whole per cent off.
const onAim = 0.005

// tooWide is how wide an interval is of which nothing better is said than what
// it holds.
const tooWide = 0.20

// againstAim says in words how far a rate lies from what it is meant to be.
func againstAim(aim units.RatePerArea, est *rate.RateEstimate) string {
	if est == nil || aim <= 0 {
		return ""
	}
	d, err := rate.AgainstAim(aim, *est)
	if err != nil {
		return ""
	}
	sure := span(percent(d.Low), percent(d.High))
	switch {
	case d.Low < 0 && d.High > 0 && d.High-d.Low > tooWide:
		return texts.Text("rate.wide", percent(-d.Low), percent(d.High))
	case d.Change > onAim:
		return texts.Text("rate.above", percent(d.Change), sure)
	case d.Change < -onAim:
		return texts.Text("rate.below", percent(-d.Change), sure)
	}
	return texts.Text("rate.on", sure)
}

// render writes a whole view.
func (q *request) render(w http.ResponseWriter, status int) {
	if q.brief() {
		q.tell(w, status, "")
		return
	}
	q.write(w, status, "layout")
}

func (q *request) write(w http.ResponseWriter, status int, part string) {
	var b bytes.Buffer
	t := views()[q.System][q.Name]
	if t == nil {
		t = views()[q.System]["sorry"]
	}
	if err := t.ExecuteTemplate(&b, part, q); err != nil {
		q.page.opts.Logger.Error("cannot render", "view", q.Name, "err", err)
		http.Error(w, texts.Text("sorry.broken"), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = io.WriteString(w, safetext.Lines(b.String())) // the browser may have gone
}

// sorry shows what cannot be shown.
func (q *request) sorry(w http.ResponseWriter, err error) {
	status := http.StatusInternalServerError
	q.Data = err.Error()
	if errors.Is(err, errNotThere) {
		status, q.Data = http.StatusNotFound, texts.Text("sorry.notthere")
	}
	if errors.Is(err, errNowhere) {
		status, q.Data = http.StatusNotFound, texts.Text("sorry.nowhere")
	}
	q.Name = "sorry"
	q.render(w, status)
}

// errNowhere is an address that the page does not have.
var errNowhere = errors.New("no such address")

// nowhere answers an address that the page does not have.
func (p *Page) nowhere(w http.ResponseWriter, r *http.Request) {
	p.request(w, r, "sorry").sorry(w, errNowhere)
}

// view serves something to look at.
func (p *Page) view(pattern, name string, data func(*request) (any, error)) {
	p.mux.HandleFunc("GET "+pattern, func(w http.ResponseWriter, r *http.Request) {
		q := p.request(w, r, name)
		q.Wrote = q.wrote()
		var err error
		if q.Data, err = data(q); err != nil {
			q.sorry(w, err)
			return
		}
		part := "layout"
		if q.vals.Has("part") {
			part = "content"
		}
		q.write(w, http.StatusOK, part)
	})
}
