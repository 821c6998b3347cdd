package mobile

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/server"
)

const yard = `
drill: {name: old drill, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
boxes:
  - {name: grain, meter: fluted roll, dial: {from: 0, to: 100}, capacity: 12 bu}
ground:
  - {name: bench, area: 7.5 ac}
lots:
  - {name: O-1, species: oat, purity: 98%, germination: 90%, bag: 50 lb}
checks:
  items: [engine off and key out, {name: gloves in the cab, required: false}]
`

// serve runs a server until the test ends, and gives its founding address.
func serve(t *testing.T) string {
	t.Helper()
	srv, err := server.New(server.Config{Data: filepath.Join(t.TempDir(), "data"), Listen: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- srv.Run(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the server ended with %v", err)
		}
	})
	at, err := srv.FoundingAddress()
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// as reads an answer, which a call gave without an error.
func as[T any](t *testing.T, text string, err error) (a T) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(text), &a); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return a
}

// given is what a call gave.
type given struct {
	text string
	err  error
}

func from(text string, err error) given { return given{text, err} }

func wrote(t *testing.T, g given) answer.Claim {
	t.Helper()
	c := as[answer.Claim](t, g.text, g.err)
	if c.Entry == "" || !c.Counts {
		t.Fatalf("not written, or does not count: %s", g.text)
	}
	return c
}

// ears keep what a Listener heard.
type ears struct {
	changed chan struct{}
	held    chan string
}

func newEars() *ears { return &ears{make(chan struct{}, 1), make(chan string, 8)} }

func (e *ears) Changed() {
	select {
	case e.changed <- struct{}{}:
	default:
	}
}

func (e *ears) Held(hold string) { e.held <- hold }

// crew is a farm at a server with its owner's home and an operator's.
func crew(t *testing.T) (ada, ben *Home) {
	t.Helper()
	ada, ben = openHome(t), openHome(t)
	g := from(ada.Found("Upper Lea", "Ada", "house tablet", serve(t), "Europe/Vienna", "us"))
	if f := as[answer.Founding](t, g.text, g.err); f.Away || f.Recovery == "" || f.Person != "Ada" {
		t.Fatalf("%+v", f)
	}
	wrote(t, from(ada.Record(`{"intent": "set", "file": `+quoted(t, yard)+`}`, "")))
	g = from(ada.Invite("Ben", "operator"))
	in := as[answer.Invited](t, g.text, g.err)
	g = from(ben.Join(in.Invite, "Ben's phone"))
	if j := as[answer.Joined](t, g.text, g.err); !j.Admitted || j.Away || in.Away {
		t.Fatalf("%+v on %+v", j, in)
	}
	return ada, ben
}

func quoted(t *testing.T, text string) string {
	t.Helper()
	b, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func seen(t *testing.T, h *Home) answer.View {
	t.Helper()
	g := from(h.View())
	return as[answer.View](t, g.text, g.err)
}

// Two phones found, join, write and exchange through the façade and a real
// server; the owner's hears of the hold while it runs, and both see the same.
func TestADayThroughMobile(t *testing.T) {
	ada, ben := crew(t)
	hears, ended := newEars(), make(chan error, 1)
	go func() { ended <- ada.Run(hears) }()
	wrote(t, from(ben.Record(`{"intent": "begin", "reading": "10", "ground": "bench"}`, "")))
	wrote(t, from(ben.Fill("grain", "O-1", "3", "")))
	wrote(t, from(ben.Dial("grain", "", "42", "the chart")))
	wrote(t, from(ben.Record(`{"intent": "hitch", "tractor": "the blue one"}`, "")))
	v := seen(t, ben)
	wrote(t, from(ben.Sign("", v.Hitches[0].Begun, 1)))
	wrote(t, from(ben.Note("gate to the bench is open", "ground:bench")))
	wrote(t, from(ben.Reading("", "11.5", "bench")))
	wrote(t, from(ben.Hold("", "a hose has burst")))
	if g := from(ben.Sync()); as[answer.Synced](t, g.text, g.err).Pending != 0 {
		t.Errorf("after an exchange: %s", g.text)
	}
	var held answer.Held
	select {
	case text := <-hears.held:
		held = as[answer.Held](t, text, nil)
	case <-time.After(20 * time.Second):
		t.Fatal("nothing was heard of the hold")
	}
	if held.Drill != "old drill" || held.Why != "a hose has burst" || held.By != "Ben" {
		t.Errorf("heard of %+v", held)
	}
	ada.Stop()
	if err := <-ended; err != nil {
		t.Errorf("Run ended with %v", err)
	}
	a, b := seen(t, ada), seen(t, ben)
	if a.Status.Entries != b.Status.Entries || !slices.Equal(a.Lots, b.Lots) || len(a.Boxes) != 1 || float64(*a.Boxes[0].Dial) != 42 || a.Boxes[0].LeftLb != b.Boxes[0].LeftLb {
		t.Errorf("Ada sees %+v\nBen sees %+v", a, b)
	}
	if h := a.Hitches[0]; h.Ready || len(h.Signed) != 1 || len(h.Holds) != 1 || len(a.Crew) < 2 {
		t.Errorf("the hitch is %+v, the crew %+v", h, a.Crew)
	}
	wrote(t, from(ada.Record(`{"intent": "release", "why": "a new hose is on"}`, "")))
	if h := seen(t, ada).Hitches[0]; !h.Ready {
		t.Errorf("after the release: %+v", h)
	}
	g := from(ada.Log(2))
	if l := as[[]answer.Line](t, g.text, g.err); len(l) != 2 || l[1].Kind != "hold-released" {
		t.Errorf("the log ends with %s", g.text)
	}
}

// A run ends with its home, without an error, and is the only one.
func TestRunEndsThroughMobile(t *testing.T) {
	h := foundHome(t)
	hears, ended := newEars(), make(chan error, 1)
	go func() { ended <- h.Run(hears) }()
	<-hears.changed
	word(t, h.Run(newEars()), "failed")
	wrote(t, from(h.Note("rain by four", "")))
	<-hears.changed
	if err := h.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; err != nil {
		t.Errorf("Run ended with %v", err)
	}
}

// A farm that is closed beneath a run ends that part of it, with or without the
// exchange having seen it first.
func TestRunOnAClosedFarm(t *testing.T) {
	h := foundHome(t)
	f, err := h.farm()
	if err != nil {
		t.Fatal(err)
	}
	hears, ended := newEars(), make(chan error, 1)
	go func() { ended <- runOn(context.Background(), f, hears, map[string]bool{}) }()
	<-hears.changed
	if err := h.home.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; !errors.Is(err, client.ErrClosed) {
		t.Errorf("it ended with %v", err)
	}
}

// What is unlikely is asked first, and written by the answer; where nobody
// answers it is in doubt, and settled.
func TestQuestionsThroughMobile(t *testing.T) {
	h := foundHome(t)
	wrote(t, from(h.Record(`{"intent": "set", "file": `+quoted(t, yard)+`}`, "")))
	const much = `{"intent": "fill", "box": "grain", "lot": "O-1", "bags": 300}`
	g := from(h.Record(much, ""))
	asked := as[answer.Asked](t, g.text, g.err)
	if len(asked.Ask) == 0 || len(asked.Ask[0].Choices) == 0 {
		t.Fatalf("300 bags are asked about by %s", g.text)
	}
	var answers []answer.Given
	for _, q := range asked.Ask {
		answers = append(answers, q.Choices[0].Answer)
	}
	b, err := json.Marshal(answers)
	if err != nil {
		t.Fatal(err)
	}
	wrote(t, from(h.Record(much, string(b))))
	wrote(t, from(h.Record(`{"intent": "fill", "box": "grain", "lot": "O-1", "mass": "9000 lb"}`, "anyway")))
	g = from(h.Doubts())
	doubts := as[[]answer.Doubt](t, g.text, g.err)
	open := slices.IndexFunc(doubts, func(d answer.Doubt) bool { return !d.Settled })
	if open < 0 {
		t.Fatalf("9,000 lb are in no doubt: %s", g.text)
	}
	wrote(t, from(h.Settle(doubts[open].ID, doubts[open].Choices[0].Word, "", "weighed it")))
	g = from(h.Doubts())
	for _, d := range as[[]answer.Doubt](t, g.text, g.err) {
		if d.ID == doubts[open].ID && !d.Settled {
			t.Errorf("still open: %+v", d)
		}
	}
}

// A record goes by hand, both ways, where there is no network.
func TestCarriedThroughMobile(t *testing.T) {
	ada, ben := crew(t)
	wrote(t, from(ben.Note("rain by four", "")))
	file, err := ben.CarryOut()
	if err != nil {
		t.Fatal(err)
	}
	g := from(ada.CarryIn(file))
	if c := as[answer.Carried](t, g.text, g.err); c.Entries == 0 || len(c.Refused) != 0 {
		t.Errorf("carried in: %s", g.text)
	}
	g = from(ada.Log(0))
	if !slices.ContainsFunc(as[[]answer.Line](t, g.text, g.err), func(l answer.Line) bool { return strings.Contains(l.What, "rain by four") && l.Person == "Ben" }) {
		t.Errorf("Ada's log lacks Ben's note: %s", g.text)
	}
	_, err = ada.CarryIn(file[:len(file)/2])
	word(t, err, "carry")
}

// The page asks for the key that its address has.
func TestThePageThroughMobile(t *testing.T) {
	h := foundHome(t)
	at, err := h.Serve()
	if err != nil {
		t.Fatal(err)
	}
	if again, err := h.Serve(); err != nil || again != at {
		t.Errorf("a second time %q, %v", again, err)
	}
	bare, _, _ := strings.Cut(at, "?")
	for address, want := range map[string]bool{at: true, bare: false} {
		jar := &http.Client{Timeout: 10 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		resp, err := jar.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if shown := resp.StatusCode < 400; shown != want || !strings.HasPrefix(address, "http://127.0.0.1:") {
			t.Errorf("%s: %s", address, resp.Status)
		}
	}
}

// word fails unless an error begins with the word.
func word(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || !strings.HasPrefix(err.Error(), want+": ") {
		t.Errorf("%v, and not %s", err, want)
	}
}

// Each error begins with the word that an app goes by.
func TestErrorsBeginWithTheirWord(t *testing.T) {
	h := openHome(t)
	only := func(_ any, err error) error { return err }
	word(t, only(h.View()), "no-farm")
	word(t, h.Run(newEars()), "no-farm")
	word(t, only(h.Join("nonsense", "phone")), "address")
	word(t, only(h.Found("Upper Lea", "Ada", "tablet", "", "", "cubits")), "refused")
	if _, err := h.Found("Upper Lea", "Ada", "tablet", "", "", ""); err != nil {
		t.Fatal(err)
	}
	word(t, only(h.Found("Upper Lea", "Ada", "tablet", "", "", "")), "has-farm")
	word(t, only(h.Sync()), "no-server")
	word(t, only(h.Invite("Ben", "king")), "refused")
	word(t, only(h.Log(-1)), "refused")
	word(t, only(h.Note("", "")), "refused")
	word(t, only(h.Fill("no such box", "O-1", "3", "")), "refused")
	word(t, only(h.Record(`{"intent": "dance"}`, "")), "refused")
	word(t, only(h.Record(`{"intent": "note", "text": "x", "colour": "red"}`, "")), "refused")
	word(t, only(h.Record(`{`, "")), "refused")
	word(t, only(h.Record(`{"intent": "note", "text": "x"}`, "yes")), "refused")
	word(t, only(h.CarryIn([]byte("nothing"))), "carry")
	other := openHome(t)
	if _, err := other.Found("Lower Lea", "Eve", "tablet", "", "", ""); err != nil {
		t.Fatal(err)
	}
	file, err := other.CarryOut()
	if err != nil {
		t.Fatal(err)
	}
	word(t, only(h.CarryIn(file)), "other-farm")
	if err := other.Close(); err != nil {
		t.Fatal(err)
	}
	word(t, only(other.View()), "closed")
	word(t, only(other.Serve()), "closed")
	word(t, other.Run(newEars()), "closed")
	none := new(Home) // which the languages can make
	none.Stop()
	word(t, only(none.View()), "closed")
	word(t, only(none.Found("Lea", "Eve", "tablet", "", "", "")), "closed")
	word(t, only(none.Join("", "")), "closed")
	word(t, only(none.Serve()), "closed")
	word(t, none.Run(newEars()), "closed")
	word(t, none.Close(), "closed")
	if l := as[[]answer.Line](t, firstOf(h.Log(0)), nil); slices.ContainsFunc(l, func(l answer.Line) bool { return l.Kind == "noted" }) {
		t.Errorf("something was written: %+v", l)
	}
}

func firstOf(text string, _ error) string { return text }
