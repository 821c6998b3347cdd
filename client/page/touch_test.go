package page_test

import (
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"turnrow/client/page"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// follow keeps a device level with its server in the background, as the
// program does, until the test ends.
func follow(t *testing.T, cs ...*handset) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	var all sync.WaitGroup
	for _, c := range cs {
		all.Go(func() {
			if err := c.Run(ctx); err != nil {
				t.Error(err)
			}
		})
	}
	t.Cleanup(func() {
		stop()
		all.Wait()
	})
}

// holds waits until a device's own record holds something.
func holds(t *testing.T, d *device, what string, is func() bool) {
	t.Helper()
	for range d.Changes(within(t)) {
		if is() {
			return
		}
	}
	t.Fatalf("never came: %s", what)
}

// Each main write, by touch on a phone: what was touched is in the record.
func TestWritesByTouch(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	s := d.show(t, phone)
	grain := func() string { return "/box/" + box(t, d.handset, "grain").ID.String() }
	s.visit("/")
	s.tapText("Fill")
	s.tapText("+")
	s.tapText("+")
	s.reads("#preview", "150 lb goes in")
	s.tapText("Write the fill")
	s.reads("#wrote", "filled box grain with 3 bags of O-1")
	s.reads("#wrote", "on this device only")
	s.reads("#box", "150 lb")

	s.tapText("Dial")
	s.write("#f-to", "40")
	s.reads("#preview", "41 lb/ac") // as the chart says
	s.write("#f-to", "30")
	s.tapText("Write the dial")
	s.reads("#wrote", "dial of box grain to 30")

	s.tapText("Catch")
	s.write("#f-turns", "20")
	s.write("#f-rows", "4")
	s.write("#f-caught", "130")
	s.reads("#preview", "30.6 lb/ac") // 130 g on 20 × 8 ft 2 in × 4 × 7.5 in
	s.tapText("Write the catch")
	s.reads("#wrote", "caught 130 g of O-1")

	s.tapText("Level")
	s.tapText("half")
	s.tapText("Write the level")
	s.reads("#wrote", "saw 50 % of full in box grain")

	s.visit(grain())
	s.tapText("Drain")
	s.tapText("Write the drain")
	s.reads("#wrote", "emptied box grain")
	s.reads("#box", "Nothing in it")

	s.tapText("Now")
	s.tapText("Read the counter")
	s.write("#f-reading", "214.1")
	s.reads("#preview", "Work begins now, at 214.1")
	s.tapText("We have worked since")
	s.write("#f-stood", "212.6")
	s.tapText("bench")
	s.tapText("Write the reading")
	s.reads("#wrote", "counter at 214.1, on bench")
	s.reads("#now", "1.5 ac of 7.5 ac done")

	s.tapText("Write a note")
	s.write("#f-text", "rocks at the top")
	s.tapText("Write the note")
	s.reads("#wrote", "rocks at the top")

	s.visit("/ground/" + ground(t, d.handset, "bench").ID.String())
	s.tapText("Count plants")
	s.write("#f-counts", "21, 18, 25, 19")
	s.reads("#preview", "20.8 /ft2")
	s.tapText("Write the count")
	s.reads("#wrote", "counted plants on bench")

	s.tapText("Look, or strike")
	s.write("#f-why", "wrong field")
	s.tapText("Strike it")
	s.reads("#one", "struck")
}

// The list of checks, one touch an item, and a hold from any view.
func TestHitchByTouch(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	s := d.show(t, phone)
	s.visit("/hitch")
	s.tapText("Begin the hitch")
	s.reads("#hitch-checks", "0 of 3 signed")
	s.tapText("engine off and key out")
	s.reads("#hitch-checks", "1 of 3 signed")
	s.reads("#hitch", "NOT READY")
	s.tapText("hoses tied clear")
	s.reads("#hitch", "READY")
	s.lacks("#hitch", "NOT READY")
	s.visit("/log")
	s.tapText("HOLD")
	s.reads("h1", "The hold is raised")
	s.reads("#holds", "HOLD on borrowed drill")
	s.tapText("Release it")
	s.reads("#hitch", "NOT READY")
	s.write("#f-why", "all clear, looked twice")
	s.tapText("Release what is shown here")
	s.lacks("#holds", "HOLD")
	s.lacks("#hitch", "NOT READY")
}

// A double tap on the way out writes once.
func TestDoubleTap(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	s := d.show(t, phone)
	s.visit("/note")
	s.write("#f-text", "only once")
	before := d.View().Entries
	s.do(chromedp.DoubleClick(chromedp.CSS("button.do")))
	s.reads("#wrote", "only once")
	if n := d.View().Entries - before; n != 1 {
		t.Errorf("%d entries, not one", n)
	}
}

// Two phones and a server: a hold raised on one page shows on the other by
// itself, wherever that one is.
func TestHoldReachesTheOther(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Helper)
	follow(t, ada, ben)
	a, b := serve(t, ada, page.Options{}), serve(t, ben, page.Options{})
	as, bs := a.show(t, phone), b.show(t, phone)
	bs.visit("/note")
	bs.write("#f-text", "half a sent")
	as.visit("/")
	as.tapText("HOLD")
	as.tapText("someone is between")
	as.reads("#holds", "someone is between tractor and drill")
	holds(t, b, "the hold, on Ben's device", func() bool { return len(b.View().Drills[0].Hitch.Holds) > 0 })
	begun := time.Now()
	bs.reads("#holds", "someone is between tractor and drill")
	t.Logf("shown %v after Ben's device had it", time.Since(begun).Round(time.Millisecond))
	if got := run(bs, chromedp.Value(chromedp.CSS("#f-text"))); got != "half a sent" {
		t.Errorf("what Ben was typing became %q", got)
	}
	as.lacks("#holds", "NOBODY ELSE KNOWS")
	bs.visit("/hitch")
	bs.reads("#hitch-holds", "Only an operator or an owner releases a hold.")
}

// With the server down both go on writing, and see that it is here alone; when
// it is back both hold it all, and what contradicts is in doubt until a person
// settles it.
func TestApartThenTogether(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	record(t, ada, &entry.DialMoved{Box: box(t, ada, "grain").ID, To: 30_000, Why: "to the aim"})
	meet(t, ada, ben)
	h.Stop()
	follow(t, ada, ben)
	a, b := serve(t, ada, page.Options{}), serve(t, ben, page.Options{})
	as, bs := a.show(t, phone), b.show(t, tablet)
	move := func(s *screen, to string) {
		s.visit("/box/" + box(t, s.d.handset, "grain").ID.String() + "/dial")
		s.write("#f-to", to)
		s.tapText("too thin behind")
		s.tapText("Write the dial")
		s.reads("#wrote", "on this device only")
		s.reads("#state", "1 note is on this device only")
	}
	move(as, "33")
	move(bs, "27")
	h.Start()
	for _, s := range []*screen{as, bs} {
		s.reads("#state", "All notes have met another device")
		s.reads("#nav-doubts", "1")
		s.lacks("#wrote", "on this device only")
	}
	bs.tapText("Doubts")
	bs.tapText("Two settings of a dial")
	bs.reads("#lines", "dial of box grain from 30 to 33")
	bs.reads("#lines", "dial of box grain from 30 to 27")
	bs.write("#f-dial", "33")
	bs.tapText("Settle it")
	bs.reads("#doubts", "Nothing is in doubt")
	as.lacks("#nav-doubts", "1")
	as.visit("/")
	as.reads("#now", "33")
	holds(t, a, "the settlement", func() bool { return box(t, ada, "grain").Dial == 33_000 })
	if da, db := ada.Digest(), ben.Digest(); da.Sum != db.Sum {
		t.Errorf("the devices hold different things: %d and %d entries", da.Entries, db.Entries)
	}
}

// What arrives while a finger is on a link does not take the link away from
// under it.
func TestATouchOutlastsWhatArrives(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	for _, at := range []size{phone, desk} {
		s := d.show(t, at)
		s.visit("/log")
		s.do(chromedp.Evaluate[chromedp.Void](`window.fetched = 0; const get = fetch; window.fetch = async (...a) => { const r = await get(...a); setTimeout(() => fetched++, 50); return r; }`))
		s.press(`document.querySelector("#log a, [data-live] a")`, func() {
			record(t, d.handset, &entry.Noted{Text: "beside " + at.name})
			s.until("fetched > 0")
		})
		s.until(`location.pathname !== "/log"`)
	}
}

// keys presses keys one after another.
func (s *screen) keys(keys ...string) {
	s.t.Helper()
	for _, k := range keys {
		s.do(chromedp.KeyEvent(k))
	}
}

// tabTo presses the tab key until the focus is on what says or is named a
// text.
func (s *screen) tabTo(text string) {
	s.t.Helper()
	var seen []string
	for range 80 {
		s.keys("\t")
		at := run(s, chromedp.Evaluate[string](`((e) => (e?.ariaLabel || e?.innerText || e?.labels?.[0]?.innerText || e?.name || "").trim())(document.activeElement)`))
		if strings.HasPrefix(at, text) {
			return
		}
		seen = append(seen, at)
	}
	s.t.Fatalf("the tab key never reached %q, only %q\non %s", text, seen, s.where())
}

// A fill from the first view to written, by the keyboard alone.
func TestKeyboardAlone(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	s := d.show(t, desk)
	s.visit("/")
	s.keys("\t")
	s.until(`document.activeElement.className === "skip"`) // first of all
	s.keys("\r")
	s.tabTo("Fill")
	s.keys("\r")
	s.reads("h1", "Fill grain")
	s.tabTo("Bags: more")
	s.keys(" ")
	s.tabTo("Write the fill")
	s.keys("\r")
	s.reads("#wrote", "filled box grain with 2 bags of O-1")
	if got := box(t, d.handset, "grain").Left; got.Format(units.US) != "100 lb" {
		t.Errorf("%v in the box", got)
	}
	s.tabTo("HOLD")
	s.keys("\r")
	s.reads("#holds", "HOLD on borrowed drill")
}
