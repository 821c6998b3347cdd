package page_test

import (
	"bufio"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

// events gives the versions that a page's event stream tells of.
func (d *device) events() <-chan string {
	d.t.Helper()
	r, err := http.NewRequestWithContext(within(d.t), http.MethodGet, d.url+"/changes", nil)
	if err != nil {
		d.t.Fatal(err)
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		d.t.Fatal(err)
	}
	if got := resp.Header.Get("Content-Type"); got != "text/event-stream" {
		d.t.Fatalf("the stream is %q", got)
	}
	d.t.Cleanup(func() { resp.Body.Close() })
	out := make(chan string, 100)
	go func() {
		defer close(out)
		event := ""
		for lines := bufio.NewScanner(resp.Body); lines.Scan(); {
			if name, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				event = name
			}
			if v, ok := strings.CutPrefix(lines.Text(), "data: "); ok && event == "version" {
				out <- v
			}
		}
	}()
	return out
}

// The stream tells the version at once, and again when something is written
// here, comes from another, or has met another.
func TestChanges(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Helper)
	meet(t, ada)
	d := serve(t, ada, page.Options{})
	events := d.events()
	told := map[string]bool{}
	next := func(after string) {
		t.Helper()
		v, ok := <-events
		if !ok || told[v] {
			t.Fatalf("after %s: %q, %t", after, v, ok)
		}
		told[v] = true
		if !strings.Contains(d.get("/"), `data-version="`+v+`"`) {
			t.Errorf("after %s the view shows another version than %s", after, v)
		}
	}
	next("the beginning")
	record(t, ada, &entry.Noted{Text: "one"})
	next("a note here")
	meet(t, ada)
	next("it met another")
	record(t, ben, &entry.Noted{Text: "two"})
	meet(t, ben, ada)
	next("a note from there")
}

// The log shows what it is asked for, and what was said about that later.
func TestLogFilters(t *testing.T) {
	c := found(t, "")
	ben := record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})[0]
	grain, legume := box(t, c, "grain").ID, box(t, c, "legume").ID
	fill := record(t, c, &entry.Filled{Box: grain, Lot: lot(t, c, "O-1").ID, Bags: 2000},
		&entry.Filled{Box: legume, Lot: lot(t, c, "C-7").ID, Bags: 1000}, &entry.Noted{Text: "Gate is open"})[0]
	record(t, c, &entry.Struck{Entry: fill, Why: "the other box"})
	if _, err := c.Record(within(t), ben, &entry.Noted{Text: "by Ben"}); err != nil {
		t.Fatal(err)
	}
	d := serve(t, c, page.Options{})
	for _, tt := range []struct{ query, has, lacks string }{
		{"about=" + grain.String(), "filled box grain", "filled box legume"},
		{"about=" + grain.String(), "(the other box)", "Gate"},
		{"kind=noted", "Gate is open", "filled"},
		{"person=" + ben.String(), "by Ben", "Gate"},
		{"text=gate", "Gate is open", "by Ben"},
		{"since=2999-01-01", "Nothing yet", "Gate"},
		{"since=2001-01-01", "Gate", "Nothing yet"},
	} {
		lines := between(d.get("/log?"+tt.query), `<ol class="lines">`, "</ol>")
		if !strings.Contains(lines, tt.has) || strings.Contains(lines, tt.lacks) {
			t.Errorf("%s: %s", tt.query, lines)
		}
	}
}

// A long log comes in parts that hold each entry once.
func TestLogInParts(t *testing.T) {
	c := found(t, "")
	var notes []entry.Body
	for range 120 {
		notes = append(notes, &entry.Noted{Text: "note"})
	}
	record(t, c, notes...)
	d := serve(t, c, page.Options{})
	seen, path := 0, "/log"
	for path != "" {
		body := d.get(path)
		seen += strings.Count(between(body, `<ol class="lines">`, "</ol>"), "<li")
		path = ""
		if m := older.FindStringSubmatch(body); m != nil {
			path = strings.ReplaceAll(m[1], "&amp;", "&")
		}
	}
	if seen != c.View().Entries {
		t.Errorf("%d entries shown of %d", seen, c.View().Entries)
	}
}

var older = regexp.MustCompile(`href="(/log\?[^"]*)">Older`)
