package page_test

import (
	"io"
	"net/http"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/client/sheet"
)

// The sheets show what was written, under a policy that lets no other style in.
func TestSheetsShow(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	for path, want := range map[string]string{
		"/day": "<h1>Day sheet, ", "/season": "<h1>Season, ", "/day.pdf": "%PDF-", "/season.pdf": "%PDF-",
		"/day?date=2001-01-01": "Monday 1 January 2001",
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
	if code, _ := d.fetch("/day?date=yesterweek"); code != http.StatusNotFound {
		t.Errorf("GET a day that is none: %d", code)
	}
}
