package page_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// lying is a phone on its side.
var lying = size{"lying", 740, 360, true}

// reachable says of what a selector finds whether a finger reaches it without a
// swipe: all of it lies within the screen, and nothing else lies on it.
const reachable = `JSON.stringify([...document.querySelectorAll(%q)].map((e) => {
	const r = e.getBoundingClientRect();
	const at = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
	return r.top >= 0 && r.bottom <= innerHeight && r.left >= 0 && r.right <= innerWidth && !!at && (e === at || e.contains(at));
}))`

func (s *screen) reach(sel string) (all []bool) {
	s.t.Helper()
	if err := json.Unmarshal([]byte(run(s, chromedp.Evaluate[string](fmt.Sprintf(reachable, sel)))), &all); err != nil {
		s.t.Fatal(err)
	}
	return all
}

// The commonest acts are within the first view without a swipe: HOLD, the views,
// the counter, and the fill of each box, the one that runs dry first before the
// others. What stands above them takes no more than 15 % of the height.
func TestFirstViewInTheHand(t *testing.T) {
	d := crewed(t)
	for _, c := range []struct {
		size  size
		wants map[string]int // of what a selector finds, how many lie in sight at the least
	}{
		{phone, map[string]int{".always .hold": 1, "header nav a": 5, "#state a": 2, ".meter .button": 1, ".bars .first": 2}},
		{lying, map[string]int{".always .hold": 1, "header nav a": 5, "#state a": 2}},
		{tablet, map[string]int{".always .hold": 1, "header nav a": 5, ".meter .button": 1, ".bars .first": 2}},
		{desk, map[string]int{".always .hold": 1, "header nav a": 5, ".meter .button": 1, ".bars .first": 2}},
	} {
		s := d.show(t, c.size)
		s.visit("/")
		for sel, n := range c.wants {
			got := 0
			for _, in := range s.reach(sel) {
				if in {
					got++
				}
			}
			if got < n {
				t.Errorf("on a %s: %d of %q lie within the first view, want %d", c.size.name, got, sel, n)
			}
		}
		if words := run(s, chromedp.Evaluate[float64](`document.querySelector(".standing a").getClientRects()[0].height`)); words > 60 {
			t.Errorf("on a %s: READY stands in two lines", c.size.name)
		}
		if c.size == phone {
			if top := run(s, chromedp.Evaluate[float64](`document.getElementById("state").getBoundingClientRect().bottom / innerHeight`)); top > 0.15 {
				t.Errorf("farm and state take %.1f %% of a phone's height", top*100)
			}
			first := run(s, chromedp.Evaluate[string](`document.querySelector(".bars .next .head a").innerText`))
			if last := run(s, chromedp.Evaluate[string](`[...document.querySelectorAll(".bars .head > a:first-child")].at(-1).innerText`)); first != "legume" || last != "grain" {
				t.Errorf("%s stands first and %s last; the legume runs dry before the grain", first, last)
			}
		}
	}
}
