package page_test

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/sync/entry"
)

// What a program that a test starts is told.
const (
	programHome   = "TURNROW_TEST_HOME"
	programAt     = "TURNROW_TEST_AT"
	programShared = "TURNROW_TEST_SHARED"
	programDies   = "TURNROW_TEST_DIES" // as soon as it has written what is posted there, before it answers
)

// runProgram serves the page of a home until it is killed.
func runProgram(home string) {
	h, err := client.Open(home, client.Options{})
	if err != nil {
		panic(err)
	}
	l, err := net.Listen("tcp", os.Getenv(programAt))
	if err != nil {
		panic(err)
	}
	inner := page.New(h, page.Options{Shared: os.Getenv(programShared) != ""})
	fmt.Println(l.Addr())
	panic(http.Serve(l, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if at := os.Getenv(programDies); at != "" && r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, at) {
			inner.ServeHTTP(httptest.NewRecorder(), r)
			kill(os.Getpid())
			select {}
		}
		inner.ServeHTTP(w, r)
	})))
}

func kill(pid int) {
	if p, err := os.FindProcess(pid); err == nil {
		_ = p.Kill() // it may have ended
	}
}

// process is a program of its own that serves a home's page, and can be killed and started
// again at its address.
type process struct {
	t    *testing.T
	home string
	at   string
	cmd  *exec.Cmd
}

// processOf prepares a program on an invented farm's home.
func processOf(t *testing.T, prepare func(*handset)) *process {
	t.Helper()
	p := &process{t: t, home: t.TempDir(), at: "127.0.0.1:0"}
	c := foundIn(t, p.home, "", nil)
	if prepare != nil {
		prepare(c)
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *process) start(env ...string) {
	p.t.Helper()
	self, err := os.Executable()
	if err != nil {
		p.t.Fatal(err)
	}
	p.cmd = exec.Command(self)
	p.cmd.Env = append(append(os.Environ(), programHome+"="+p.home, programAt+"="+p.at), env...)
	p.cmd.Stderr = os.Stderr
	out, err := p.cmd.StdoutPipe()
	if err == nil {
		err = p.cmd.Start()
	}
	if err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(p.kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		p.t.Fatal(err)
	}
	p.at = strings.TrimSpace(line)
}

// kill ends the program as a dead battery does.
func (p *process) kill() {
	if p.cmd == nil {
		return
	}
	kill(p.cmd.Process.Pid)
	_ = p.cmd.Wait() // killed
	p.cmd = nil
}

// notes are the notes in the record, when the program is down, oldest first.
func (p *process) notes() (texts []string) {
	p.t.Helper()
	h, err := client.Open(p.home, client.Options{})
	if err != nil {
		p.t.Fatal(err)
	}
	defer h.Close()
	f, err := h.Farm()
	if err != nil {
		p.t.Fatal(err)
	}
	for _, l := range f.Lines() {
		if n, ok := l.Body.(*entry.Noted); ok {
			texts = append(texts, n.Text+" by "+l.By)
		}
	}
	return texts
}

func (p *process) show(s size) *screen {
	p.t.Helper()
	return (&device{t: p.t, url: "http://" + p.at}).show(p.t, s)
}

// is waits until a field holds a text.
func (s *screen) is(sel, text string) {
	s.t.Helper()
	s.until(fmt.Sprintf(`document.querySelector(%q)?.value === %q`, sel, text))
}

// What is typed stays through a reload, HOLD and back, a program that was killed
// and started again; it is shown as kept, cleared by two touches, and gone when
// it was saved.
func TestDrafts(t *testing.T) {
	var fill, catch string
	p := processOf(t, func(c *handset) {
		fill = "/box/" + box(t, c, "grain").ID.String() + "/fill"
		catch = "/box/" + box(t, c, "grain").ID.String() + "/catch"
	})
	p.start()
	s := p.show(phone)
	s.visit("/note")
	s.write("#f-text", "rocks at the top")
	s.visit("/note")
	s.is("#f-text", "rocks at the top")
	s.reads(".kept", "Kept from")
	s.tapText("HOLD")
	s.until(`location.pathname !== "/note"`)
	s.do(chromedp.Evaluate[chromedp.Void]("history.back()"))
	s.is("#f-text", "rocks at the top")

	s.visit(catch)
	s.lacks("main", "Kept from")
	s.write("#f-turns", "20")
	s.write("#f-caught", "130")
	s.write("#f-caught-1", "131")
	s.visit(fill)
	s.tapText("+")
	s.is("#f-bags", "2")
	p.kill()
	p.start()
	s.visit(fill)
	s.is("#f-bags", "2")
	s.reads("#preview", "100 lb goes in")
	s.visit(catch)
	s.is("#f-turns", "20")
	s.is("#f-caught", "130")
	s.is("#f-caught-1", "131")
	s.tapText("Clear it")
	s.tapText("Sure? Touch again")
	s.is("#f-caught", "")
	s.visit(catch)
	s.lacks("main", "Kept from")

	s.visit("/note")
	s.is("#f-text", "rocks at the top")
	s.tapText("Write the note")
	s.reads("#wrote", "rocks at the top")
	s.visit("/note")
	s.is("#f-text", "")
	s.lacks("main", "Kept from")
}

// A form that was open while the program was killed is written when it is up
// again, by the same touch. While it is down a write waits, is shown as waiting,
// and goes by itself, once; so does one that was written before the program died
// with its answer.
func TestUnsentGoesOnce(t *testing.T) {
	p := processOf(t, nil)
	p.start()
	s := p.show(phone)
	s.visit("/note")
	s.write("#f-text", "one")
	p.kill()
	p.start()
	s.tapText("Write the note")
	s.reads("#wrote", "one")

	s.visit("/note")
	p.kill()
	for _, text := range []string{"two", "three"} {
		s.write("#f-text", text)
		s.tapText("Write the note")
		s.reads("#unsent", "Waiting to be saved: Note, "+text)
		s.is("#f-text", "")
	}
	p.start()
	s.lacks("#unsent", "Waiting")
	s.reads("body", "Saved: Note")
	p.kill()
	if got, want := p.notes(), []string{"one by Ada", "two by Ada", "three by Ada"}; strings.Join(got, ", ") != strings.Join(want, ", ") {
		t.Fatalf("the record holds %q, not %q", got, want)
	}

	p.start(programDies + "=/note")
	s.visit("/note")
	s.write("#f-text", "four")
	s.tapText("Write the note")
	s.reads("#unsent", "four") // it died with the answer
	p.kill()
	if got := p.notes(); len(got) != 4 || got[3] != "four by Ada" {
		t.Fatalf("it did not write before it died: %q", got)
	}
	p.start()
	s.lacks("#unsent", "Waiting")
	s.visit("/log")
	s.lacks("#unsent", "Waiting")
	p.kill()
	if got := p.notes(); len(got) != 4 {
		t.Errorf("written again: %q", got)
	}
}

// On a shared screen nobody sees what another is typing, each finds their own
// again, and what nobody's name was on is kept and shown only when asked for.
func TestDraftsOnASharedScreen(t *testing.T) {
	c := found(t, "")
	record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})
	d := serve(t, c, page.Options{Shared: true})
	s := d.show(t, phone)
	choose := func(name string) {
		t.Helper()
		s.visit("/who?back=/note")
		s.tapText(name)
		s.until(`location.pathname === "/note"`)
	}
	s.visit("/note")
	s.write("#f-text", "whose is this")
	choose("Ada")
	s.is("#f-text", "")
	s.write("#f-text", "Ada is at it")
	choose("Ben")
	s.is("#f-text", "")
	s.lacks("body", "Ada is at it")
	s.lacks("main", "Kept")
	s.write("#f-text", "Ben too")
	choose("Ada")
	s.is("#f-text", "Ada is at it")
	run(s, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, tab, network.ClearBrowserCookies, cdp.Empty{})
	})
	s.visit("/note")
	s.is("#f-text", "")
	s.reads(".kept", "Something typed here at")
	s.tapText("Show it")
	s.is("#f-text", "whose is this")
}

// What nothing is typed for twice: the same form with the same values by the
// same person within minutes is asked about once.
func TestAgain(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	d := serve(t, foundAt(t, "", day.now), page.Options{Now: day.now})
	form := func(body string) url.Values {
		return hidden(between(between(body, "<main", "</main>"), "<form", "</form>"))
	}
	note := func(text string) (int, string) { return d.send("/note", form(d.get("/note")), "text="+text) }
	entries := func() int { return d.View().Entries }
	note("gate is open")
	before := entries()
	day.pass(3 * time.Minute)
	code, body := note("gate is open")
	if code != http.StatusConflict || entries() != before || !strings.Contains(body, "3 minutes ago") || !strings.Contains(body, "gate is open") {
		t.Fatalf("not asked: %d\n%s", code, between(body, "<main", "</main>"))
	}
	if code, body := d.send("/note", form(body), "text=gate is open", "again=no"); code != http.StatusOK || entries() != before || !strings.Contains(body, "Written:") {
		t.Errorf("it is the same: %d, %d entries more", code, entries()-before)
	}
	if code, _ := d.send("/note", form(body), "text=gate is open", "again=yes"); code != http.StatusOK || entries() != before+1 {
		t.Errorf("it happened again: %d, %d entries more", code, entries()-before)
	}
	for _, text := range []string{"gate is shut", "gate is open"} { // another one between the two
		if code, _ := note(text); code != http.StatusOK {
			t.Errorf("%s: %d", text, code)
		}
	}
	day.pass(11 * time.Minute)
	if code, _ := note("gate is open"); code != http.StatusOK {
		t.Errorf("asked after eleven minutes: %d", code)
	}
	for range 2 {
		if code, _ := d.hold("/"); code != http.StatusOK {
			t.Errorf("a hold was asked about: %d", code)
		}
	}
}

// What was written last is undone by one touch for some minutes, where it may be
// struck, and only by whoever wrote it.
func TestUndo(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	d := serve(t, foundAt(t, "", day.now), page.Options{Now: day.now})
	fill := "/box/" + box(t, d.handset, "grain").ID.String() + "/fill"
	undo := func(body string) url.Values {
		form := between(body, `action="/undo"`, "</form>")
		if form == "" {
			return nil
		}
		return hidden(form)
	}
	_, body := d.post(fill, "bags=2")
	late := undo(body)
	if late == nil {
		t.Fatal("no undo")
	}
	code, after := d.send("/undo", undo(body))
	if left := box(t, d.handset, "grain").Left; code != http.StatusOK || left != 0 || !strings.Contains(after, "undone at once") {
		t.Errorf("undone: %d, %v left\n%s", code, left, between(after, `id="wrote"`, "</div>"))
	}
	if undo(after) != nil {
		t.Error("the undoing can be undone")
	}
	_, body = d.hold("/")
	if undo(body) != nil {
		t.Error("a hold can be undone")
	}
	_, body = d.post(fill, "bags=3")
	first := undo(body)
	d.post("/note", "text=something else")
	if code, _ := d.send("/undo", first); code != http.StatusUnprocessableEntity {
		t.Errorf("undone though it was not the last: %d", code)
	}
	_, body = d.post("/note", "text=the last")
	day.pass(6 * time.Minute)
	if code, _ := d.send("/undo", undo(body)); code != http.StatusUnprocessableEntity {
		t.Errorf("undone after six minutes: %d", code)
	}
}

// The token for forms is this browser's own, behind the key, and no other page
// reads it.
func TestFreshToken(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{Key: "letters"})
	if code, _ := d.fetch("/token"); code != http.StatusForbidden {
		t.Errorf("without the key: %d", code)
	}
	d.get("/?key=letters")
	token := d.get("/token")
	if token != hidden(d.get("/note")).Get("token") {
		t.Error("not the one that forms carry")
	}
	other := serve(t, d.handset, page.Options{Key: "letters"})
	other.get("/?key=letters")
	if other.get("/token") == token {
		t.Error("another browser has the same")
	}
	resp, err := d.web.Get(d.url + "/token")
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if h := resp.Header; h.Get("Cross-Origin-Resource-Policy") != "same-origin" || h.Get("Access-Control-Allow-Origin") != "" {
		t.Errorf("others may read it: %v", h)
	}
}

// TestShotsOfDrafts takes a picture of what is kept, what waits, what is asked
// about for coming twice, and what can be undone.
func TestShotsOfDrafts(t *testing.T) {
	if shotDir == "" {
		t.Skip("does not apply: TURNROW_SHOTS names no folder for pictures")
	}
	var fill string
	p := processOf(t, func(c *handset) { fill = "/box/" + box(t, c, "grain").ID.String() + "/fill" })
	p.start()
	s := p.show(phone)
	s.visit("/note")
	s.write("#f-text", "gate is open")
	s.tapText("Write the note")
	s.reads("#wrote", "gate is open")
	s.shoot("undo")
	s.visit("/note")
	s.write("#f-text", "gate is open")
	s.tapText("Write the note")
	s.reads("h1", "Again?")
	s.shoot("again")
	s.visit(fill)
	s.tapText("+")
	s.visit(fill)
	s.reads(".kept", "Kept from")
	s.shoot("kept")
	p.kill()
	s.tapText("Write the fill")
	s.reads("#unsent", "Waiting to be saved")
	s.shoot("waiting")
}
