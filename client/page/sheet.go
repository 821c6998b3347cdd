package page

import (
	"bytes"
	"io"
	"net/http"
	"strings"
	"time"

	"turnrow/client/sheet"
)

// sheets serves the day's sheet and the season's, to look at, to print and to
// keep. They are whole pages of their own.
func (p *Page) sheets() {
	for _, name := range []string{"day", "season"} {
		p.mux.HandleFunc("GET /"+name, p.sheet(sheet.HTML, "text/html; charset=utf-8"))
		p.mux.HandleFunc("GET /"+name+".pdf", p.sheet(sheet.PDF, "application/pdf"))
	}
}

func (p *Page) sheet(write func(io.Writer, *sheet.Document) error, kind string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		q := p.request(w, r, "sheet")
		doc, err := q.document()
		var b bytes.Buffer
		if err == nil {
			err = write(&b, doc)
		}
		if err != nil {
			q.sorry(w, err)
			return
		}
		h := w.Header()
		h.Set("Content-Type", kind)
		h.Set("Content-Security-Policy", strings.Replace(policy, "style-src 'self'", "style-src "+sheet.StyleSource(), 1))
		_, _ = w.Write(b.Bytes()) // the browser may have gone
	}
}

// document is the sheet that is asked for: of the day in ?date=, of the last
// one on which anything was written, or of all.
func (q *request) document() (*sheet.Document, error) {
	lines, now := q.page.linesOf(q.View), q.now()
	o := sheet.Options{Zone: q.zone, System: q.System, Made: now, Knows: q.knows(now)}
	if strings.HasPrefix(q.r.URL.Path, "/season") {
		o.Span, _ = sheet.Days(lines, q.zone)
		return sheet.Of(q.View, lines, o).Season(), nil
	}
	day := sheet.LatestDay(lines, now)
	if date := q.Val("date"); date != "" {
		var err error
		if day, err = sheet.ParseDay(date); err != nil || !sheet.Recorded(lines, now).Holds(day) {
			return nil, errNotThere
		}
	}
	o.Span = sheet.Span{From: day, To: day}
	return sheet.Of(q.View, lines, o).DaySheet(), nil
}

// knows says how far this device's record goes.
func (q *request) knows(now time.Time) string {
	at, _ := q.page.farm.Met()
	return sheet.Knows(q.View, q.page.farm.Device(), at, now)
}
