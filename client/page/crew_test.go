package page_test

import (
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/client/setfile"
	"turnrow/client/words"
	"turnrow/server/housetest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// The tests of this package show real clients with real stores; where there is
// a server, it is a real one over TLS on loopback.

// patience is how long a test waits for what must come; nothing waits for it
// to pass.
const patience = time.Minute

// clock is a time that only moves when it is told to.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// house is a server that can be stopped and started again at its address.
type house = housetest.House

func newHouse(t *testing.T) *house { return housetest.New(t, nil) }

func newHouseAt(t *testing.T, now func() time.Time) *house { return housetest.New(t, now) }

// handset is a home, and the farm that it is of, nil until it was founded or
// joined there.
type handset struct {
	*client.Home
	*client.Farm
}

func (c *handset) Found(ctx context.Context, o client.FoundOptions) (client.Founded, error) {
	f, err := c.Home.Found(ctx, o)
	c.Farm = f.Farm
	return f, err
}

func (c *handset) Join(ctx context.Context, invite, name string) (client.Joined, error) {
	j, err := c.Home.Join(ctx, invite, name)
	c.Farm = j.Farm
	return j, err
}

// device is a handset with its page.
type device struct {
	*handset
	t   *testing.T
	url string
	web *http.Client
}

func within(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

func serve(t *testing.T, c *handset, o page.Options) *device {
	t.Helper()
	srv := httptest.NewServer(page.New(c.Home, o))
	t.Cleanup(srv.Close)
	t.Cleanup(srv.CloseClientConnections) // event streams
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &device{c, t, srv.URL, &http.Client{Jar: jar, Timeout: patience}}
}

func open(t *testing.T, now func() time.Time) *handset {
	t.Helper()
	return handsetAt(t, t.TempDir(), now)
}

func handsetAt(t *testing.T, home string, now func() time.Time) *handset {
	t.Helper()
	h, err := client.Open(home, client.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := h.Close(); err != nil {
			t.Error(err)
		}
	})
	f, _ := h.Farm()
	return &handset{h, f}
}

// found founds an invented farm with drill, boxes, ground, seed and plan, at a
// server where an address is given.
func found(t *testing.T, at string) *handset { return foundAt(t, at, nil) }

func foundAt(t *testing.T, at string, now func() time.Time) *handset {
	t.Helper()
	return foundIn(t, t.TempDir(), at, now)
}

func foundIn(t *testing.T, home, at string, now func() time.Time) *handset {
	t.Helper()
	c := handsetAt(t, home, now)
	_, err := c.Found(within(t), client.FoundOptions{
		Farm: "Upper Lea", Owner: "Ada", At: at, TimeZone: "Europe/Vienna", MoneySign: "$", DeviceName: "house tablet",
	})
	if err != nil {
		t.Fatal(err)
	}
	set(t, c, "testdata/day.yaml")
	return c
}

func set(t *testing.T, c *handset, file string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	f, err := setfile.Parse(file, text)
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.RecordWith(within(t), entry.ID{}, func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		return f.Entries(look(), entry.ID{}, next)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// join has a person join with a new device, and both hold the same.
func join(t *testing.T, owner *handset, person string, role entry.Role) *handset {
	t.Helper()
	return joinAt(t, owner, person, role, nil)
}

func joinAt(t *testing.T, owner *handset, person string, role entry.Role, now func() time.Time) *handset {
	t.Helper()
	invite, err := owner.Invite(within(t), person, role)
	if err != nil {
		t.Fatal(err)
	}
	meet(t, owner)
	c := open(t, now)
	if _, err := c.Join(within(t), invite, person+"'s phone"); err != nil {
		t.Fatal(err)
	}
	meet(t, c, owner)
	return c
}

// meet has each device exchange with the server.
func meet(t *testing.T, cs ...*handset) {
	t.Helper()
	for _, c := range cs {
		if _, err := c.Sync(within(t)); err != nil {
			t.Fatal(err)
		}
	}
}

func record(t *testing.T, c *handset, bodies ...entry.Body) []entry.ID {
	t.Helper()
	ids, err := c.Record(within(t), entry.ID{}, bodies...)
	if err != nil {
		t.Fatal(err)
	}
	return ids
}

func box(t *testing.T, c *handset, name string) farm.Box {
	t.Helper()
	b, ok := c.View().BoxNamed(entry.ID{}, name)
	if !ok {
		t.Fatalf("no box %q", name)
	}
	return b
}

func lot(t *testing.T, c *handset, name string) farm.Lot {
	t.Helper()
	l, ok := c.View().LotNamed(name)
	if !ok {
		t.Fatalf("no lot %q", name)
	}
	return l
}

func ground(t *testing.T, c *handset, name string) farm.Ground {
	t.Helper()
	g, ok := c.View().GroundNamed(name)
	if !ok {
		t.Fatalf("no ground %q", name)
	}
	return g
}

// aDay writes what a crew wrote by noon: seed in, a catch, dials, ground done.
// pass lets time go by between them; nil: none does.
func aDay(t *testing.T, c *handset, pass func(time.Duration)) {
	t.Helper()
	v := c.View()
	d, grain, legume := v.Drills[0].ID, box(t, c, "grain").ID, box(t, c, "legume").ID
	oat, clover := lot(t, c, "O-1").ID, lot(t, c, "C-7").ID
	bench, knoll := ground(t, c, "bench").ID, ground(t, c, "knoll").ID
	hitch := record(t, c, &entry.HitchBegun{Checks: v.Checks[0].ID, Drill: d, Tractor: "old blue"})[0]
	for _, b := range []entry.Body{
		&entry.BagsIn{Lot: oat, Bags: 8000},
		&entry.ItemSigned{Hitch: hitch, Item: 1}, &entry.ItemSigned{Hitch: hitch, Item: 2},
		&entry.DialMoved{Box: grain, To: 30_000, Why: "to the aim"},
		&entry.Caught{Box: grain, Lot: oat, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{130_000}, Resolution: 1000},
		&entry.DialMoved{Box: legume, To: 12_000, Why: "to the aim"},
		&entry.Filled{Box: grain, Lot: oat, Bags: 4000},
		&entry.Filled{Box: legume, Lot: clover, Bags: 2000},
		&entry.MeterRead{Drill: d, Reading: 0, Ground: bench},
		&entry.MeterRead{Drill: d, Reading: 1_200, Ground: bench},
		&entry.Caught{Box: grain, Lot: oat, Dial: 34_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{151_000}, Resolution: 1000},
		&entry.DialMoved{Box: grain, From: entry.Some(units.Dial(30_000)), To: 28_000, Why: "after a catch"},
		&entry.MeterRead{Drill: d, Reading: 2_900, Ground: bench},
		&entry.LevelRead{Box: grain, Mass: entry.Some(units.Mass(50_000_000))},
		&entry.StandCounted{Ground: knoll, Frame: 929, Day: 20_545, Counts: []entry.SpeciesCount{{Species: "red clover", Plants: []int64{21, 18, 25, 19}}}},
		&entry.Noted{Text: "gate by the spring is open"},
	} {
		if pass != nil {
			pass(14 * time.Minute)
		}
		record(t, c, b)
	}
}

// get fetches a view, and wants it to be there.
func (d *device) get(path string) string {
	d.t.Helper()
	code, body := d.fetch(path)
	if code != http.StatusOK {
		d.t.Fatalf("GET %s: %d\n%s", path, code, body)
	}
	return body
}

func (d *device) fetch(path string) (int, string) {
	d.t.Helper()
	resp, err := d.web.Get(d.url + path)
	if err != nil {
		d.t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

var hiddenField = regexp.MustCompile(`<input type="hidden" name="([a-z]+)" value="([^"]*)">`)

// post fills in the form at a path, posts it and gives what that leads to.
func (d *device) post(path string, fields ...string) (int, string) {
	d.t.Helper()
	vals := hidden(d.get(path))
	return d.send(path, vals, fields...)
}

func hidden(html string) url.Values {
	vals := url.Values{}
	for _, m := range hiddenField.FindAllStringSubmatch(html, -1) {
		vals.Set(m[1], m[2])
	}
	return vals
}

func (d *device) send(path string, vals url.Values, fields ...string) (int, string) {
	d.t.Helper()
	for _, f := range fields {
		k, v, _ := strings.Cut(f, "=")
		if k, again := strings.CutPrefix(k, "+"); again { // typed in one field more
			vals.Add(k, v)
			continue
		}
		vals.Set(k, v)
	}
	resp, err := d.web.PostForm(d.url+path, vals)
	if err != nil {
		d.t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

// apart has two people write things that contradict one another, neither
// knowing of the other.
func apart(t *testing.T, a, b *handset) {
	t.Helper()
	grain, oat := box(t, a, "grain").ID, lot(t, a, "O-1").ID
	from := entry.Some(units.Dial(28_000))
	record(t, a, &entry.DialMoved{Box: grain, From: from, To: 33_000, Why: "too thin behind the drill"},
		&entry.Filled{Box: grain, Lot: oat, Bags: 2000})
	record(t, b, &entry.DialMoved{Box: grain, From: from, To: 26_000, Why: "bags emptying too fast"},
		&entry.Filled{Box: grain, Lot: oat, Bags: 2000})
}

// crewed is a device in the middle of a day, with something of everything.
func crewed(t *testing.T) *device {
	t.Helper()
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	h := newHouseAt(t, day.now)
	ada := foundAt(t, h.FoundingAddress(), day.now)
	ben := joinAt(t, ada, "Ben", entry.Operator, day.now)
	aDay(t, ada, day.pass)
	meet(t, ada, ben)
	apart(t, ada, ben)
	meet(t, ben, ada)
	day.pass(9 * time.Minute)
	record(t, ada, &entry.Noted{Text: "rain by four"})
	return serve(t, ada, page.Options{Now: day.now})
}

// views are the addresses of every view, each with something in it.
func (d *device) views() map[string]string {
	v := d.View()
	b, g := "/box/"+box(d.t, d.handset, "grain").ID.String(), "/ground/"+ground(d.t, d.handset, "knoll").ID.String()
	split := "/box/" + box(d.t, d.handset, "legume").ID.String()
	list := map[string]string{
		"now": "/", "box": b, "pictures": b + "/pictures", "fill": b + "/fill", "fill-split": split + "/fill", "dial": b + "/dial", "catch": b + "/catch", "level": b + "/level", "drain": b + "/drain",
		"meter": "/meter", "note": "/note", "hitch": "/hitch", "ground": g, "stand": g + "/stand", "finished": g + "/finished",
		"plan": "/plan", "plan-ground": "/ground/" + ground(d.t, d.handset, "bench").ID.String() + "/plan", "comeup": "/comeup", "setup": "/setup",
		"lot": "/lot/" + lot(d.t, d.handset, "C-7").ID.String(), "newlot": "/newlot", "newground": "/newground", "ground-change": g + "/change", "chart": b + "/chart",
		"doubts": "/doubts", "log": "/log", "who": "/who", "more": "/more", "crew": "/crew", "sorry": "/box/" + v.Boxes[0].ID.Log.String() + "/999",
	}
	for _, dv := range v.Devices {
		if dv.Name == "Ben's phone" {
			list["stop"] = "/crew/stop?device=" + dv.ID.String()
		}
	}
	for dt := range words.Doubts(v) {
		list["doubt-"+string(dt.Kind)] = "/doubt/" + dt.ID()
	}
	for _, l := range d.Lines() {
		if l.Kind == entry.KindHoldRaised {
			list["held"] = "/hold/" + l.ID.String()
		}
	}
	list["entry"] = "/entry/" + v.Boxes[0].Events[len(v.Boxes[0].Events)-1].String()
	return list
}
