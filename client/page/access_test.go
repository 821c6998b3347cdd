package page_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// axe gives the text of axe-core, the accessibility engine that is run within
// each view.
func axe(t *testing.T) string {
	t.Helper()
	path := os.Getenv("TURNROW_AXE")
	if path == "" {
		t.Skip("needs axe-core: TURNROW_AXE names no axe.min.js (npm install axe-core)")
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// violation is what axe-core found against a rule.
type violation struct {
	ID    string
	Help  string
	Nodes []struct {
		HTML           string
		FailureSummary string
	}
}

// axeRun runs every rule of WCAG 2.2 up to AA, the best practices, and AAA's
// contrast of 7:1.
const axeRun = `axe.run(document, {
	runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
	rules: {"color-contrast-enhanced": {enabled: true}, "target-size": {enabled: true}},
}).then((r) => JSON.stringify(r.violations))`

// axe-core finds nothing against any view, on a phone and on a desk.
func TestAxeFindsNothing(t *testing.T) {
	engine := axe(t)
	d := crewed(t)
	d.hold("/")
	for _, size := range []size{phone, desk} {
		s := d.show(t, size)
		for name, path := range d.views() {
			s.visit(path)
			s.do(chromedp.Evaluate[chromedp.Void]("document.querySelectorAll('details').forEach((d) => d.open = true)"))
			s.do(chromedp.Evaluate[chromedp.Void](engine + ";0"))
			var found []violation
			text := run(s, chromedp.Evaluate[string](axeRun, chromedp.EvalAwaitPromise))
			if err := json.Unmarshal([]byte(text), &found); err != nil {
				t.Fatal(err)
			}
			for _, v := range found {
				for _, n := range v.Nodes {
					t.Errorf("%s on a %s: %s: %s\n%s\n%s", name, size.name, v.ID, v.Help, n.HTML, n.FailureSummary)
				}
			}
		}
	}
}

// small lists what can be touched and is smaller than 44 pixels either way.
// Links within a sentence are not counted (WCAG 2.2, 2.5.5: inline targets).
const small = `JSON.stringify([...document.querySelectorAll("a, button, summary, select, input:not([type=hidden], [type=radio], [type=checkbox]), textarea, label.tile")]
	.filter((e) => e.checkVisibility() && !e.classList.contains("skip"))
	.map((e) => [e.getBoundingClientRect(), e])
	.filter(([r]) => r.width < 43.5 || r.height < 43.5)
	.map(([r, e]) => Math.round(r.width) + "×" + Math.round(r.height) + " " + e.outerHTML.slice(0, 120)))`

// What can be touched is large enough for a glove; nothing reaches beyond the
// screen's side, with text at twice its size too; and the bar at the bottom
// leaves most of the screen free.
func TestPhoneInAGlove(t *testing.T) {
	d := crewed(t)
	s := d.show(t, phone)
	for name, path := range d.views() {
		s.visit(path)
		s.do(chromedp.Evaluate[chromedp.Void]("document.querySelectorAll('details').forEach((d) => d.open = true)"))
		var list []string
		if err := json.Unmarshal([]byte(run(s, chromedp.Evaluate[string](small))), &list); err != nil {
			t.Fatal(err)
		}
		if len(list) > 0 {
			t.Errorf("%s: too small to touch:\n%s", name, strings.Join(list, "\n"))
		}
		for _, text := range []string{"112.5%", "225%"} {
			s.do(chromedp.Evaluate[chromedp.Void]("document.documentElement.style.fontSize = '" + text + "'"))
			wide := run(s, chromedp.Evaluate[string](`JSON.stringify([document.documentElement.scrollWidth, [...document.querySelectorAll("main *, header *")].filter((e) => e.checkVisibility() && !e.closest(".table, pre, svg, .unseen") && e.getBoundingClientRect().right > innerWidth + 1).map((e) => e.outerHTML.slice(0, 100)).slice(0, 3)])`))
			if !strings.HasPrefix(wide, "[360,[]]") {
				t.Errorf("%s with text at %s: wider than the screen: %s", name, text, wide)
			}
			if bar := run(s, chromedp.Evaluate[float64](`document.querySelector(".always").getBoundingClientRect().height / innerHeight`)); bar > 0.25 {
				t.Errorf("%s with text at %s: the bar takes %.0f %% of the screen", name, text, bar*100)
			}
		}
	}
}

// The browser finds nothing to complain of: no script fails, and nothing that
// the policy forbids is tried.
func TestConsoleIsQuiet(t *testing.T) {
	d := crewed(t)
	s := d.show(t, tablet)
	messages := chromedp.Console(s.ctx)
	for name, path := range d.views() {
		if name != "sorry" {
			s.visit(path)
		}
	}
	s.do(chromedp.Evaluate[chromedp.Void](`console.log("that was all")`))
	for m, err := range messages {
		if err != nil {
			t.Fatal(err)
		}
		if m.Text == "that was all" {
			return
		}
		t.Errorf("%+v", m)
	}
}
