package page_test

import (
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"turnrow/client/page"
	"turnrow/client/sheet"
)

// The sheets show what was written, under a policy that lets no other style in.
func TestSheetsShow(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 12, 0, 0, 0, time.UTC)}
	d := serve(t, foundAt(t, "", day.now), page.Options{Now: day.now})
	for path, want := range map[string]string{
		"/day": "<h1>Day sheet, ", "/season": "<h1>Season, ", "/day.pdf": "%PDF-", "/season.pdf": "%PDF-",
		"/day?date=2026-04-09": "Thursday 9 April 2026",
	} {
		res, err := d.web.Get(d.url + path)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err != nil || res.StatusCode != http.StatusOK || !strings.Contains(string(body), want) {
			t.Errorf("GET %s: %d %v, without %q", path, res.StatusCode, err, want)
		}
		if csp := res.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "style-src "+sheet.StyleSource()+";") || !strings.Contains(csp, "default-src 'none'") {
			t.Errorf("GET %s: policy %q", path, csp)
		}
	}
	for _, none := range []string{"yesterweek", "2001-01-01", "2099-01-01"} {
		if code, _ := d.fetch("/day?date=" + none); code != http.StatusNotFound {
			t.Errorf("GET the day %s, which is none: %d", none, code)
		}
	}
}
