package page_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

var (
	landscape = size{"landscape", 740, 360, true}
	wide      = size{"wide", 1440, 900, false}
)

// within says whether all that a selector finds lies inside of the visible part
// of the screen, with nothing over its middle.
const visible = `(sel) => { const all = [...document.querySelectorAll(sel)]; return all.length > 0 && all.every((e) => {
	const r = e.getBoundingClientRect(), v = visualViewport;
	return r.width > 0 && r.height > 0 && r.left >= -1 && r.right <= v.width + 1 && r.top >= -1 && r.bottom <= v.height + 1 &&
		e.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2)); }); }`

func (s *screen) isVisible(sel string) bool {
	s.t.Helper()
	return run(s, chromedp.Evaluate[bool](fmt.Sprintf("(%s)(%q)", visible, sel)))
}

// A form is open while the program is killed. HOLD, pressed meanwhile, says that
// nobody knows, and is written once the program is back, by the form of before.
// Pressed after a restart, it is written at once.
func TestHoldAcrossARestart(t *testing.T) {
	c := found(t, "")
	p, d := startProgram(t, c, page.Options{})
	s := d.show(t, phone)
	s.visit("/note")
	s.write("#f-text", "half a sent")
	p.kill()
	p.start()
	s.tap("form.raise button")
	s.reads("h1", "The hold is raised")
	if n := len(raised(c)); n != 1 {
		t.Fatalf("after a restart, %d holds", n)
	}
	s.visit("/note")
	p.kill()
	s.tap("form.raise button")
	s.reads("#raising", "NOT WRITTEN, NOBODY KNOWS: SHOUT!")
	if !s.isVisible("#raising") {
		t.Error("that the hold is not written is out of sight")
	}
	s.picture("hold-away")
	p.start()
	s.reads("h1", "The hold is raised")
	if n := len(raised(c)); n != 2 {
		t.Errorf("after a kill, %d holds", n)
	}
}

// Without the server a hold says that nobody else knows, and goes to the others
// by itself once the server is there, as the first thing.
func TestHoldWithoutSignal(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Helper)
	h.Stop()
	follow(t, ada, ben)
	d := serve(t, ada, page.Options{})
	s := d.show(t, phone)
	s.visit("/")
	s.tap("form.raise button")
	s.reads("#held", "NOBODY ELSE KNOWS YET: SHOUT!")
	s.reads("#holds", "NOBODY ELSE KNOWS YET: SHOUT!")
	s.picture("hold-alone")
	h.Start()
	holds(t, &device{handset: ben}, "the hold", func() bool { return len(ben.View().Drills[0].Hitch.Holds) == 1 })
	s.reads("#held", "It has gone out.")
	s.lacks("#holds", "NOBODY ELSE KNOWS")
}

// A hold that arrives is seen by who types in a form, far down in a long view,
// and in the answer to a form, which cannot be fetched again: in a bar within the
// screen, in the title and the icon. What is typed is as it was, and where.
func TestHoldArrives(t *testing.T) {
	for _, at := range []size{phone, landscape, wide} {
		t.Run(at.name, func(t *testing.T) {
			h := newHouse(t)
			ada := found(t, h.FoundingAddress())
			ben := join(t, ada, "Ben", entry.Helper)
			d := serve(t, ada, page.Options{})
			s := d.show(t, at)
			drill := ada.View().Drills[0].ID
			record(t, ada, &entry.CounterStood{Drill: drill}, &entry.MeterRead{Drill: drill, Reading: 5000, Ground: ground(t, ada, "bench").ID})
			views := []struct{ path, then string }{
				{"/note", `document.getElementById("f-text").focus()`},
				{"/lot/" + lot(t, ada, "O-1").ID.String(), `scrollTo(0, document.body.scrollHeight)`},
				{"/meter", `document.getElementById("f-reading").focus()`},
				{"/hitch", `document.querySelector("[name=tractor]").form.action = "/hitch/sign"`},
			}
			for i, v := range views {
				s.visit(v.path)
				s.do(chromedp.Evaluate[chromedp.Void](v.then + ";0"))
				switch i {
				case 0:
					s.write("#f-text", "half a sent")
				case 2: // a question, which lies as a sheet over the view on a phone
					s.write("#f-reading", "2")
					s.tapText("Write the reading")
					s.reads("h1", "Is that right?")
				case 3: // an answer that has no address of its own
					s.tapText("Begin the hitch")
					s.until(`location.pathname === "/hitch/sign"`)
				}
				s.do(chromedp.Evaluate[chromedp.Void](`window.buzzed = []; navigator.vibrate = (p) => buzzed.push(p);
					window.beeped = 0; const tone = AudioContext.prototype.createOscillator; AudioContext.prototype.createOscillator = function () { beeped++; return tone.call(this); }`))
				s.touch("document.querySelector('h1')") // a browser gives sound and vibration to who touched the page
				if i == 0 {
					s.do(chromedp.Focus(chromedp.CSS("#f-text")))
				}
				place := `Math.round(document.querySelector("h1").getBoundingClientRect().top)`
				was := run(s, chromedp.Evaluate[int](place))
				hold := record(t, ben, &entry.HoldRaised{Drill: ben.View().Drills[0].ID, Why: "someone is between"})[0]
				meet(t, ben, ada)
				s.reads("#holds", "HOLD on borrowed drill")
				s.reads("#holds", "someone is between — Ben")
				if i == 0 {
					s.picture("hold-arrives")
				}
				if !s.isVisible(".holding") || !s.isVisible("form.raise button") {
					t.Errorf("%s: the bar or HOLD is out of sight", v.path)
				}
				s.until(`document.title.startsWith("HOLD by Ben ")`)
				s.until(`document.querySelector("link[rel=icon]").getAttribute("href").startsWith("/hold.svg")`)
				s.until(`buzzed.length > 0 && beeped > 0`)
				if i == 0 {
					if got := run(s, chromedp.Evaluate[string](`document.getElementById("f-text").value + document.activeElement.id`)); got != "half a sentf-text" {
						t.Errorf("what was typed, and where, became %q", got)
					}
					if !s.isVisible("#f-text") || !run(s, chromedp.Evaluate[bool](`document.getElementById("f-text").getBoundingClientRect().top >= document.getElementById("holds").getBoundingClientRect().bottom`)) {
						t.Error("what is typed lies under the bar")
					}
					// the bar is 70 px high or more; other lines of the view may have changed by one
					if now := run(s, chromedp.Evaluate[int](place)); at != landscape && (now-was > 30 || was-now > 30) {
						t.Errorf("the form moved from %d to %d", was, now)
					}
				}
				s.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 1e6)`))
				if !s.isVisible(".holding") || !s.isVisible("form.raise button") {
					t.Errorf("%s: scrolled, the bar or HOLD is out of sight", v.path)
				}
				record(t, ada, &entry.HoldReleased{Drill: ada.View().Drills[0].ID, Holds: []entry.ID{hold}, Why: "looked"})
				s.lacks("#holds", "HOLD")
				s.until(`!document.title.includes("HOLD") && document.querySelector("link[rel=icon]").getAttribute("href").startsWith("/icon.svg")`)
			}
		})
	}
}

// The test of what is in sight finds a bar that is not.
func TestABarOutOfSightIsFound(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	d.hold("/")
	s := d.show(t, phone)
	s.visit("/")
	if !s.isVisible(".holding") {
		t.Fatal("the bar is out of sight")
	}
	// By a rule of style, which stands when the bar is put in anew.
	for _, mistake := range []string{".holding { display: none !important }", ".holding { visibility: hidden }", ":has(> * > .holding) { position: static !important }", ".holding { transform: translateX(60%) }"} {
		s.visit("/")
		s.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`{ const rule = new CSSStyleSheet(); rule.replaceSync(%q); document.adoptedStyleSheets = [rule]; scrollTo(0, 1e6) }`, mistake)))
		if s.isVisible(".holding") {
			t.Errorf("with %s the bar counts as in sight", mistake)
		}
	}
}

// Who has seen a hold says so in the bar, without script and with it, and whoever
// raised it reads who has and who has not.
func TestHoldIsSeen(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Helper)
	record(t, ada, &entry.MemberAdded{Name: "Cal", Role: entry.Operator})
	meet(t, ada, ben)
	follow(t, ada, ben)
	a, b := serve(t, ada, page.Options{}), serve(t, ben, page.Options{})
	as, bs := a.show(t, phone), b.show(t, phone)
	bs.visit("/note")
	bs.write("#f-text", "half a sent")
	as.visit("/")
	as.tap("form.raise button")
	as.reads("#held", "Not yet seen by Ben, Cal")
	as.reads("#held", "Shout too")
	bs.reads("#holds .ack", "I have seen it")
	bs.picture("seen-ask")
	if !bs.isVisible("#holds .ack button") {
		t.Error("the button is out of sight")
	}
	bs.until(`document.getElementById("holds").dataset.asking === "1"`)
	bs.tap("#holds .ack button")
	bs.until(`!document.querySelector(".ack") && document.getElementById("holds").dataset.asking === "0"`)
	bs.reads("#holds", "HOLD on borrowed drill") // as long as it stands
	if got := run(bs, chromedp.Evaluate[string](`location.pathname + document.getElementById("f-text").value`)); got != "/notehalf a sent" {
		t.Errorf("where Ben was, and what he was typing, became %q", got)
	}
	as.reads("#holds", "Seen by Ben ")
	as.reads("#held", ", not yet by Cal")
	as.picture("seen-read")
	bs.tapText("Write the note") // the acknowledgement has a number of its own
	bs.reads("#wrote", "half a sent")
}

// Without script the button is a form like any other, and leads back to the view;
// on a shared screen it asks who has seen it, in the same touch.
func TestHoldIsSeenWithoutScript(t *testing.T) {
	c := found(t, "")
	ben := record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})[0]
	if _, err := c.Record(within(t), ben, &entry.HoldRaised{Why: "stop"}); err != nil {
		t.Fatal(err)
	}
	for _, shared := range []bool{false, true} {
		d := serve(t, c, page.Options{Shared: shared})
		if strings.Contains(d.get("/log"), `class="ack"`) {
			t.Error("asked about a hold that was raised on this device")
		}
	}
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	cal := join(t, ada, "Cal", entry.Operator)
	dan := record(t, ada, &entry.MemberAdded{Name: "Dan", Role: entry.Helper})[0]
	record(t, cal, &entry.HoldRaised{Why: "stop"})
	meet(t, cal, ada)
	shared := serve(t, ada, page.Options{Shared: true})
	form := between(shared.get("/log"), `class="ack"`, "</form>")
	if !strings.Contains(form, "Who has seen it?") {
		t.Fatalf("a shared screen asks %q", form)
	}
	if code, body := shared.send("/hold/seen", hidden(form), "who="+dan.String()); code != http.StatusOK || strings.Contains(body, `class="ack"`) || !strings.Contains(body, "HOLD on") {
		t.Errorf("Dan has seen it: %d", code)
	}
	own := serve(t, ada, page.Options{})
	form = between(own.get("/log"), `class="ack"`, "</form>")
	if code, body := own.send("/hold/seen", hidden(form)); code != http.StatusOK || strings.Contains(body, `class="ack"`) || !strings.Contains(body, "<h1>What happened") {
		t.Errorf("Ada has seen it: %d", code)
	}
	if body := own.get("/hitch"); !strings.Contains(body, "Seen by Dan ") || !strings.Contains(body, ", Ada ") {
		t.Error("the hitch does not say who has seen it")
	}
}
