// Package page is the page that a device serves to its own screen: what is
// where now, and forms that write things down. It is one http.Handler over the
// client library, so it works with or without signal, and whatever serves HTTP
// to a screen can show it.
//
// Everything is rendered on the device from embedded templates. Forms work
// without any script: they are posted, and answered by a redirect. The one
// script follows the record (an event stream says that it changed) and fills
// in what is being typed. Nothing is ever fetched from another address; the
// Content-Security-Policy holds the browser to that.
//
// A form carries a number of its own, so that a double tap, a reload or a program
// that was killed before it could answer does not write twice: the home keeps
// the last numbers. And it carries a token, so that no other page can post it.
// What is typed and not written yet stays in the browser. A thing
// that was written is never edited: it is struck, with a reason.
//
// A hold is the exception: one press on any view writes it, without a token, a
// question or a reason, and a bar over each view shows those that stand.
package page

import (
	"crypto/rand"
	"embed"
	"log/slog"
	"net/http"
	"time"

	"turnrow/client"
	"turnrow/sync/units"
)

//go:embed assets/*
var assets embed.FS

// Options is how a page is shown.
type Options struct {
	// Shared is a device that several people write on: it asks who is writing,
	// and forgets it soon. Otherwise the device's own person writes.
	Shared bool
	// Units to show; nil is the farm's own. Whoever looks may choose others.
	Units *units.System
	// Zone to show times in where the farm names none that is known here; nil
	// is the device's own.
	Zone *time.Location
	// Now is the time; nil is time.Now.
	Now func() time.Time
	// Key has to be given once in the address, as ?key=, before anything is
	// shown: for a page that others than this device can reach. Empty: none.
	Key string
	// Logger takes what goes wrong on the server's side; nil is silent.
	Logger *slog.Logger
}

// Page serves one farm, under the identity that its home had when it was opened.
type Page struct {
	farm    *client.Farm
	opts    Options
	secret  []byte // makes form tokens; new with each start
	pressed presses
	mux     *http.ServeMux
	static  map[string]asset
	lines   lineCache
}

// New is the page of the farm that a home is of. Where the home takes another
// identity meanwhile, the page goes on as that; where it is of no farm yet, the
// page says so.
func New(h *client.Home, o Options) http.Handler {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	if o.Zone == nil {
		o.Zone = time.Local
	}
	return &homePage{home: h, opts: o}
}

// newPage is the page of one farm.
func newPage(f *client.Farm, o Options) http.Handler {
	p := &Page{farm: f, opts: o, secret: make([]byte, 32), mux: http.NewServeMux(), static: staticAssets()}
	rand.Read(p.secret)
	p.routes()
	return p.guard(p.mux)
}

// routes says which view answers which address.
func (p *Page) routes() {
	p.mux.HandleFunc("GET /changes", p.changes)
	p.mux.HandleFunc("GET /holds", p.holds)
	for name := range p.static {
		p.mux.HandleFunc("GET /"+name, p.asset)
	}
	p.view("/{$}", "now", now)
	p.view("/more", "more", func(*request) (any, error) { return nil, nil })
	p.view("/box/{device}/{seq}", "box", oneBox)
	p.view("/box/{device}/{seq}/pictures", "pictures", picturesOf)
	p.view("/ground/{device}/{seq}", "ground", oneGround)
	p.view("/hitch", "hitch", hitchView)
	p.view("/doubts", "doubts", doubts)
	p.view("/log", "log", audit)
	p.view("/crew", "crew", crewView)
	p.view("/plan", "plan", plan)
	p.view("/comeup", "comeup", comeUp)
	p.sheets()
	p.writers()
	p.mux.HandleFunc("GET /token", p.freshToken)
	p.mux.HandleFunc("GET /who", p.who)
	p.mux.HandleFunc("POST /who", p.setWho)
	p.mux.HandleFunc("POST /units", p.setUnits)
	p.mux.HandleFunc("POST /sync", p.syncNow)
	p.mux.HandleFunc("GET /", p.nowhere)
}

// writers says which forms and buttons write something down.
func (p *Page) writers() {
	p.form("/box/{device}/{seq}/fill", "fill", func() writer { return new(fillForm) })
	p.form("/box/{device}/{seq}/dial", "dial", func() writer { return new(dialForm) })
	p.form("/box/{device}/{seq}/catch", "catch", func() writer { return new(catchForm) })
	p.form("/box/{device}/{seq}/level", "level", func() writer { return new(levelForm) })
	p.form("/box/{device}/{seq}/drain", "drain", func() writer { return new(drainForm) })
	p.form("/meter", "meter", func() writer { return new(meterForm) })
	p.form("/note", "note", func() writer { return new(noteForm) })
	p.mux.HandleFunc("POST /hold", p.raise)
	p.button("/hold/seen", func() writer { return new(seenForm) })
	p.form("/hold/{device}/{seq}", "held", func() writer { return new(heldForm) })
	p.form("/ground/{device}/{seq}/stand", "stand", func() writer { return new(standForm) })
	p.form("/ground/{device}/{seq}/finished", "finished", func() writer { return new(finishedForm) })
	p.form("/ground/{device}/{seq}/plan", "groundplan", func() writer { return new(planForm) })
	p.form("/ground/{device}/{seq}/change", "groundform", func() writer { return new(groundForm) })
	p.form("/newground", "groundform", func() writer { return new(groundForm) })
	p.form("/box/{device}/{seq}/chart", "chart", func() writer { return new(chartForm) })
	p.form("/lot/{device}/{seq}", "lot", func() writer { return new(lotForm) })
	p.form("/newlot", "lot", func() writer { return new(lotForm) })
	p.button("/lot/{device}/{seq}/bags", func() writer { return new(bagsForm) })
	p.form("/setup", "setup", func() writer { return new(setupForm) })
	p.form("/doubt/{id}", "doubt", func() writer { return new(doubtForm) })
	p.form("/entry/{device}/{seq}", "entry", func() writer { return new(strikeForm) })

	p.form("/crew/stop", "stop", func() writer { return new(stopForm) })
	p.button("/undo", func() writer { return new(undoForm) })
	p.button("/crew/admit", func() writer { return &atTheDoor{in: true} })
	p.button("/crew/refuse", func() writer { return new(atTheDoor) })
	p.button("/hitch/begin", func() writer { return new(beginHitch) })
	p.button("/hitch/sign", func() writer { return new(signItem) })
	p.button("/hitch/release", func() writer { return new(releaseHolds) })
	p.button("/hitch/unhitch", func() writer { return new(unhitch) })
	p.button("/hitch/move", func() writer { return new(moveDrill) })
}
