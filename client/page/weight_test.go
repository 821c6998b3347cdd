package page_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// maxWeight is what a view may weigh with all that belongs to it: a second on a
// phone that has been dropped a few times.
const maxWeight = 120_000

// loaded is something that a view made the browser fetch.
type loaded struct {
	Name string
	Size int
}

// Nothing is fetched from anywhere else, and a view with its style, script and
// pictures is light.
func TestWeight(t *testing.T) {
	d := crewed(t)
	for name, path := range d.views() {
		s := d.show(t, phone) // with an empty cache
		s.visit(path)
		var all []loaded
		text := run(s, chromedp.Evaluate[string](`JSON.stringify([...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
			.map((e) => ({name: e.name, size: Math.max(e.transferSize, e.decodedBodySize)})))`))
		if err := json.Unmarshal([]byte(text), &all); err != nil {
			t.Fatal(err)
		}
		sum := 0
		for _, l := range all {
			if !strings.HasPrefix(l.Name, d.url+"/") {
				t.Errorf("%s fetches %s", name, l.Name)
			}
			sum += l.Size
		}
		if sum > maxWeight || len(all) < 3 {
			t.Errorf("%s weighs %d bytes in %d files", name, sum, len(all))
		}
		if name == "now" || name == "box" {
			t.Logf("%s weighs %d bytes", name, sum)
		}
	}
}

// On a processor a sixth as fast a fill goes the same way. How long each step
// takes is told, and not judged: this machine has other work too.
func TestSlowPhone(t *testing.T) {
	d := crewed(t)
	s := d.show(t, phone)
	run(s, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, tab, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 6})
	})
	step := func(what string, do func()) {
		begun := time.Now()
		do()
		t.Logf("%s: %v", what, time.Since(begun).Round(time.Millisecond))
	}
	step("first view", func() {
		s.visit("/")
		s.reads("#now", "grain")
	})
	step("to the fill", func() {
		s.tapText("Fill")
		s.reads("h1", "Fill legume")
	})
	step("one bag more, worked out", func() {
		s.tapText("+")
		s.reads("#preview", "50 lb goes in")
	})
	step("written and shown", func() {
		s.tapText("Write the fill")
		s.reads("#wrote", "filled box legume with 2 bags")
	})
	step("with its pictures", func() { s.until(`document.querySelectorAll("#pictures svg").length === 3`) })
}
