package page_test

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

// program is a page at one address that is killed and started again there, as
// turnrow is. Its stream can be cut, or fall silent, by itself.
type program struct {
	t    *testing.T
	c    *handset
	o    page.Options
	addr string

	srv *http.Server

	mu           sync.Mutex // guards what follows
	deaf, silent bool
	cut          context.CancelFunc
}

func startProgram(t *testing.T, c *handset, o page.Options) (*program, *device) {
	t.Helper()
	p := &program{t: t, c: c, o: o, addr: "127.0.0.1:0"}
	p.start()
	t.Cleanup(func() { p.srv.Close() })
	return p, &device{c, t, "http://" + p.addr, http.DefaultClient}
}

func (p *program) start() {
	p.t.Helper()
	l, err := new(net.ListenConfig).Listen(within(p.t), "tcp", p.addr)
	if err != nil {
		p.t.Fatal(err)
	}
	p.addr = l.Addr().String()
	whole := page.New(p.c.Home, p.o)
	p.srv = &http.Server{ReadHeaderTimeout: patience, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/changes" {
			ctx, cut := context.WithCancel(r.Context())
			defer cut()
			p.stream(whole, &quiet{w, p}, r.WithContext(ctx), cut)
			return
		}
		whole.ServeHTTP(w, r)
	})}
	go p.srv.Serve(l)
}

// kill closes its listener and cuts all connections.
func (p *program) kill() { p.srv.Close() }

func (p *program) stream(whole http.Handler, w http.ResponseWriter, r *http.Request, cut context.CancelFunc) {
	p.mu.Lock()
	p.cut = cut
	deaf := p.deaf
	p.mu.Unlock()
	if !deaf {
		whole.ServeHTTP(w, r)
	}
	panic(http.ErrAbortHandler) // the connection is cut
}

// deafen cuts the stream, and each that is asked for until it is let be.
func (p *program) deafen(on bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.deaf = on
	if p.cut != nil {
		p.cut()
	}
}

// silence has the streams stay open and say nothing.
func (p *program) silence(on bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.silent = on
}

// quiet is a stream that may be silent.
type quiet struct {
	http.ResponseWriter
	p *program
}

func (q *quiet) Unwrap() http.ResponseWriter { return q.ResponseWriter }

func (q *quiet) Write(b []byte) (int, error) {
	q.p.mu.Lock()
	defer q.p.mu.Unlock()
	if q.p.silent {
		return len(b), nil
	}
	return q.ResponseWriter.Write(b)
}

// sleeps lets time go by for a screen all at once, as while a laptop is shut,
// and wakes it.
func (s *screen) sleeps(d time.Duration) {
	s.t.Helper()
	s.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`{ const was = Date.now.bind(Date); Date.now = () => was() + %d; document.dispatchEvent(new Event("visibilitychange")); }`, d.Milliseconds())))
}

// inSight waits until what a selector finds lies within the screen with nothing
// over it.
func (s *screen) inSight(sel string) {
	s.t.Helper()
	s.until(fmt.Sprintf(`((e) => {
		if (!e) return false;
		return [...e.getClientRects()].every((r) => r.width > 0 && r.left >= 0 && r.right <= innerWidth && r.top >= 0 && r.bottom <= innerHeight &&
			[r.left + 2, (r.left + r.right) / 2, r.right - 2].every((x) => e.contains(document.elementFromPoint(x, (r.top + r.bottom) / 2))));
	})(document.querySelector(%q))`, sel))
}

// signedAndMet is a crew's drill that is READY, and the house that they meet in.
func signedAndMet(t *testing.T, now func() time.Time) (*handset, *house) {
	t.Helper()
	h := newHouseAt(t, now)
	ada := foundAt(t, h.FoundingAddress(), now)
	joinAt(t, ada, "Ben", entry.Operator, now)
	v := ada.View()
	hitch := record(t, ada, &entry.HitchBegun{Checks: v.Checks[0].ID, Drill: v.Drills[0].ID})[0]
	record(t, ada, &entry.ItemSigned{Hitch: hitch, Item: 1}, &entry.ItemSigned{Hitch: hitch, Item: 2},
		&entry.Filled{Box: box(t, ada, "grain").ID, Lot: lot(t, ada, "O-1").ID, Bags: 4000},
		&entry.CounterStood{Drill: v.Drills[0].ID, Reading: 125_000, Ground: ground(t, ada, "bench").ID},
		&entry.MeterRead{Drill: v.Drills[0].ID, Reading: 125_900, Ground: ground(t, ada, "bench").ID})
	meet(t, ada)
	return ada, h
}

const (
	ready   = `document.querySelector(".standing").innerText.startsWith("READY")`
	unready = `document.querySelector(".standing").innerText.startsWith("NOT KNOWN NOW")`
	seeing  = `document.querySelector("#blind").innerText === "" && !document.body.dataset.blind`
)

// A page whose program was killed says so in a line that stays in sight, READY
// is not known and reads so, figures are paler and hatched, and ages go on. What
// cannot be opened is said, and leaves the view. It comes back by itself, and
// with what is known by then.
func TestThePageSaysWhenItIsBlind(t *testing.T) {
	ada, _ := signedAndMet(t, nil)
	p, d := startProgram(t, ada, page.Options{})
	s := d.show(t, phone)
	s.visit("/")
	s.until(ready)
	s.until(seeing)
	s.reads(".bars .asof", "As of counter 125.9, just now")
	s.picture("fresh")
	p.kill()
	s.reads("#blind", "This page has lost turnrow: what stands here may be old (since ")
	s.reads("#blind", "Start turnrow again")
	s.until(unready)
	s.until(`getComputedStyle(document.querySelector(".bars li")).backgroundImage.includes("gradient") && getComputedStyle(document.querySelector(".bars li")).borderStyle === "dashed"`)
	s.picture("blind")
	s.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 1e6)`))
	s.inSight("#blind")
	s.tapText("Fill")
	s.reads("#blind", "Not opened: turnrow does not answer.")
	s.sleeps(47 * time.Minute)
	s.reads(".bars .asof", "As of counter 125.9, old: 47 minutes ago")
	s.reads(".standing", "met the others old: 47 minutes ago")
	s.until(unready)
	record(t, ada, &entry.HoldRaised{Drill: ada.View().Drills[0].ID, Why: "stop"})
	s.do(chromedp.Evaluate[chromedp.Void](`new MutationObserver(() => { if (!document.body.dataset.blind) window.first ??= document.querySelector(".standing").innerText; }).observe(document.body, {attributeFilter: ["data-blind"]})`))
	p.start()
	s.until(seeing)
	if got := run(s, chromedp.Evaluate[string](`first.slice(0, 9)`)); got != "NOT READY" {
		t.Errorf("what it says first when it sees again is %q, which a hold forbids", got)
	}
	s.reads(".bars .asof", "As of counter 125.9, just now") // by turnrow's clock
}

// Where the stream alone is cut, or says nothing, the page is as blind, though
// turnrow answers; and after a sleep the first thing is to ask.
func TestABlindStream(t *testing.T) {
	ada, _ := signedAndMet(t, nil)
	p, d := startProgram(t, ada, page.Options{})
	s := d.show(t, phone)
	s.visit("/")
	s.until(ready)
	p.deafen(true)
	s.reads("#blind", "This page has lost turnrow")
	s.until(unready)
	s.tapText("Log") // answers
	s.until(`location.pathname === "/log"`)
	s.visit("/")
	s.reads("#blind", "This page has lost turnrow")
	p.deafen(false)
	s.until(seeing)
	s.until(ready)

	p.silence(true)
	s.sleeps(11 * time.Second)
	s.until(unready)
	s.reads("#blind", "Asking turnrow: what stands here may be old")
	s.sleeps(5 * time.Second)
	s.reads("#blind", "This page has lost turnrow")
	p.silence(false)
	s.sleeps(5 * time.Second)
	s.until(seeing)
	s.until(ready)
}

// READY's age lies in sight on every size of screen, and grows old where the
// others are away, as does each figure whose reading is.
func TestAgesAreInSight(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	ada, h := signedAndMet(t, day.now)
	d := serve(t, ada, page.Options{Now: day.now})
	day.pass(14 * time.Minute)
	h.Stop()
	if _, err := ada.Sync(within(t)); err == nil {
		t.Fatal("met a house that is away")
	}
	for _, size := range []size{phone, {"landscape", 740, 360, true}, {"wide", 1440, 900, false}} {
		s := d.show(t, size)
		for _, path := range []string{"/", "/hitch"} {
			s.visit(path)
			s.reads(".standing > span", "as far as this device knows, which met the others 14 minutes ago")
			s.until(ready)
			s.inSight(".standing a")
			s.inSight(".standing time")
		}
		s.reads("#state", "They cannot be reached now.")
	}
	s := d.show(t, phone)
	s.visit("/")
	s.lacks("main", "old: ")
	day.pass(17 * time.Minute)
	s.visit("/")
	s.reads(".standing > span", "as far as this device knows, which met the others old: 31 minutes ago")
	for _, sel := range []string{".meter", ".bars .asof", ".grounds"} {
		s.reads(sel, "old: 31 minutes ago")
	}
	s.picture("old")
	s.visit("/hitch")
	s.reads("#hitch", "The last check was signed 31 minutes ago.")
	s.visit("/ground/" + ground(t, ada, "bench").ID.String())
	s.reads("#groundnow .asof", "As of counter 125.9, old: 31 minutes ago")
	s.visit("/box/" + box(t, ada, "grain").ID.String())
	s.reads("#box .asof", "As of counter 125.9, old: 31 minutes ago")
	day.pass(-2 * time.Hour)
	s.visit("/")
	s.reads(".bars .asof", "old: by a clock that is ahead")
}

// An address that the page does not have is answered in its own words, with the
// way back and HOLD.
func TestNowhereIsAView(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	for _, path := range []string{"/nowhere", "/box/one/two/three", "/hitch/sign"} {
		code, body := d.fetch(path)
		if code != http.StatusNotFound || !strings.Contains(body, "There is no view at this address.") || !strings.Contains(body, `class="hold"`) || !strings.Contains(body, `class="home" href="/"`) {
			t.Errorf("%s: %d %s", path, code, between(body, "<main", "</main>"))
		}
	}
}
