package page_test

import (
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/client/setfile"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// benchEntries is how long the record is that the benchmarks show: some years
// of a crew's.
const benchEntries = 5000

// seasons is a page over a long record: of each hundred entries 60 are
// readings, fills, dials, catches and levels of two boxes, the rest notes.
func seasons(b *testing.B) (*handset, http.Handler) {
	b.Helper()
	h, err := client.Open(b.TempDir(), client.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { h.Close() })
	c := &handset{Home: h}
	if _, err := c.Found(context.Background(), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		b.Fatal(err)
	}
	f, err := setfile.Parse("bench", []byte(benchSetup))
	if err != nil {
		b.Fatal(err)
	}
	_, err = c.RecordWith(context.Background(), entry.ID{}, func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		return f.Entries(look(), entry.ID{}, next)
	})
	if err != nil {
		b.Fatal(err)
	}
	for n := 0; c.View().Entries < benchEntries; n++ {
		if _, err := c.Record(context.Background(), entry.ID{}, hundred(c.View(), n)...); err != nil {
			b.Fatal(err)
		}
	}
	return c, page.New(h, page.Options{})
}

const benchSetup = `
drill: {name: drill, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
boxes: [{name: grain, dial: {from: 0, to: 100}}, {name: legume, dial: {from: 0, to: 60}, sides: [left, right]}]
chart: [{box: grain, species: oat, points: {20: 18 lb/ac, 40: 41 lb/ac, 60: 66 lb/ac}}, {box: legume, species: red clover, points: {10: 4 lb/ac, 20: 9 lb/ac}}]
ground: [{name: bench, area: 7500 ac}, {name: knoll, area: 3000 ac}]
lots: [{name: O-1, species: oat, purity: 98%, germination: 90%, bag: 50 lb}, {name: C-7, species: red clover, purity: 95%, germination: 80%, bag: 25 lb}]
plan: [{ground: bench, seed: [{lot: O-1, box: grain, live: 30 lb/ac}, {lot: C-7, box: legume, live: 5 lb/ac}]}]
checks: {version: 1, items: [engine off and key out]}
`

func hundred(v *farm.View, n int) (out []entry.Body) {
	grain, legume, oat, clover := v.Boxes[0].ID, v.Boxes[1].ID, v.Lots[0].ID, v.Lots[1].ID
	for i := range 20 {
		at := units.Reading((n*20 + i) * 500)
		out = append(out,
			&entry.MeterRead{Drill: v.Drills[0].ID, Reading: at, Ground: v.Grounds[i/10].ID},
			&entry.Filled{Box: grain, Lot: oat, Bags: 1000}, &entry.Noted{Text: "a note of some words"}, &entry.Noted{Text: "and another"})
		switch i % 4 {
		case 0:
			out = append(out, &entry.Filled{Box: legume, Lot: clover, Bags: 1000})
		case 1:
			out = append(out, &entry.DialMoved{Box: grain, To: units.Dial(30_000 + 1000*(n%5)), Why: "aim"})
		case 2:
			out = append(out, &entry.Caught{Box: grain, Lot: oat, Dial: units.Dial(30_000 + 1000*(n%5)), Turns: 20_000, Rows: 4, Masses: []units.Mass{140_000}})
		default:
			out = append(out, &entry.DialMoved{Box: legume, To: 12_000, Why: "aim"})
		}
	}
	return out
}

// visitor asks for views as a browser does, without a network in between.
type visitor struct {
	b   *testing.B
	h   http.Handler
	jar http.CookieJar
}

func visit(b *testing.B, h http.Handler) *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		b.Fatal(err)
	}
	return &visitor{b, h, jar}
}

func (v *visitor) ask(r *http.Request, want int) *httptest.ResponseRecorder {
	for _, c := range v.jar.Cookies(r.URL) {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	v.h.ServeHTTP(w, r)
	if w.Code != want {
		v.b.Fatalf("%s: %d, not %d", r.URL, w.Code, want)
	}
	v.jar.SetCookies(r.URL, w.Result().Cookies())
	return w
}

func (v *visitor) get(path string) string {
	return v.ask(httptest.NewRequest(http.MethodGet, "http://127.0.0.1"+path, nil), http.StatusOK).Body.String()
}

// BenchmarkView asks for a view of a record that has not changed since the
// last time.
func BenchmarkView(b *testing.B) {
	c, h := seasons(b)
	v := visit(b, h)
	for name, path := range map[string]string{"now": "/", "box": "/box/" + c.View().Boxes[0].ID.String(), "log": "/log", "pictures": "/box/" + c.View().Boxes[0].ID.String() + "/pictures?part", "hitch": "/hitch"} {
		v.get(path)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				v.get(path)
			}
		})
	}
}

// BenchmarkFill posts a fill, and asks for the box that it leads to.
func BenchmarkFill(b *testing.B) {
	c, h := seasons(b)
	v := visit(b, h)
	box := "/box/" + c.View().Boxes[0].ID.String()
	vals := hidden(v.get(box + "/fill"))
	vals.Set("lot", c.View().Lots[0].ID.String())
	vals.Set("bags", "1")
	post := func(n int) string {
		vals.Set("number", strconv.Itoa(n))
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1"+box+"/fill", nil)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Body = io.NopCloser(strings.NewReader(vals.Encode()))
		return v.ask(r, http.StatusSeeOther).Header().Get("Location")
	}
	n := 0
	b.Run("write", func(b *testing.B) {
		for b.Loop() {
			n++
			post(n)
		}
	})
	b.Run("write and now", func(b *testing.B) {
		for b.Loop() {
			n++
			post(n)
			v.get("/")
		}
	})
	b.Run("write and look", func(b *testing.B) {
		for b.Loop() {
			n++
			v.get(post(n))
		}
	})
}
