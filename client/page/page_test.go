package page_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"turnrow/client/page"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Every view can be shown, and holds what its device holds.
func TestViewsShow(t *testing.T) {
	d := crewed(t)
	for name, path := range d.views() {
		t.Run(name, func(t *testing.T) {
			want := http.StatusOK
			if name == "sorry" {
				want = http.StatusNotFound
			}
			code, body := d.fetch(path)
			if code != want {
				t.Fatalf("GET %s: %d", path, code)
			}
			for _, bad := range []string{"%!", "<no value>", "ZgotmplZ"} {
				if strings.Contains(body, bad) {
					t.Errorf("GET %s holds %q", path, bad)
				}
			}
			if !strings.Contains(body, "</html>") || !strings.Contains(body, `<form method="post" action="/hold" class="raise"`) {
				t.Errorf("GET %s: not whole, or without the hold", path)
			}
		})
	}
}

// What a form writes is what the record then says.
func TestFormsWrite(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "grain")
	o1 := lot(t, d.handset, "O-1").ID
	bench := ground(t, d.handset, "bench").ID
	drill := d.View().Drills[0].ID
	base := "/box/" + b.ID.String()
	yesterday := time.Now().UTC().AddDate(0, 0, -1)
	record(t, d.handset, &entry.CounterStood{Drill: drill})
	tests := []struct {
		path   string
		fields []string
		want   entry.Body
	}{
		{base + "/fill", []string{"lot=" + o1.String(), "side=0", "bags=3"}, &entry.Filled{Box: b.ID, Lot: o1, Bags: 3000}},
		{base + "/fill", []string{"lot=" + o1.String(), "bags=1", "mass=37 lb"}, &entry.Filled{Box: b.ID, Lot: o1, Mass: 16_782_918, MassIn: units.InPounds}},
		{base + "/dial", []string{"to=30", "reason=lot", "why=the new one"}, &entry.DialMoved{Box: b.ID, To: 30_000, Why: "another lot: the new one", Aim: b.Aim}},
		{base + "/catch", []string{"lot=" + o1.String(), "dial=30", "turns=20", "rows=4", "caught=130"},
			&entry.Caught{Box: b.ID, Lot: o1, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{130_000}, MassIn: units.InGrams, Way: entry.Standing}},
		{base + "/catch", []string{"lot=" + o1.String(), "dial=30", "way=standing", "turns=20", "rows=4", "caught=131", "+caught=127,5", "+caught=0.28 lb", "+caught="},
			&entry.Caught{Box: b.ID, Lot: o1, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{131_000, 127_500, 127_006}, Way: entry.Standing}},
		{base + "/catch", []string{"lot=" + o1.String(), "dial=30", "way=driven", "turns=20", "distance=150 ft", "rows=", "which=3-5, 9", "caught=118", "reading=2.5"},
			&entry.Caught{Box: b.ID, Lot: o1, Dial: 30_000, Distance: 45_720_000, Rows: 4, RowNumbers: []int64{3, 4, 5, 9}, Masses: []units.Mass{118_000}, MassIn: units.InGrams, DistanceIn: 1, Way: entry.Moving, Reading: entry.Some(units.Reading(2500))}},
		{base + "/catch", []string{"lot=" + o1.String(), "dial=30", "way=standing", "turns=20", "masses=32, 33, 32 33", "resolution=1", "rows="},
			&entry.Caught{Box: b.ID, Lot: o1, Dial: 30_000, Turns: 20_000, Rows: 4, RowMasses: []units.Mass{32_000, 33_000, 32_000, 33_000}, Resolution: 1000, MassIn: units.InGrams, Way: entry.Standing}},
		{base + "/catch", []string{"lot=" + o1.String(), "dial=30", "way=standing", "turns=20", "masses=32,5 33 32,25", "resolution=0,5", "rows="},
			&entry.Caught{Box: b.ID, Lot: o1, Dial: 30_000, Turns: 20_000, Rows: 3, RowMasses: []units.Mass{32_500, 33_000, 32_250}, Resolution: 500, MassIn: units.InGrams, Way: entry.Standing}},
		{base + "/fill", []string{"lot=" + o1.String(), "side=0", "bags=2,5"}, &entry.Filled{Box: b.ID, Lot: o1, Bags: 2500}},
		{base + "/fill", []string{"lot=" + o1.String(), "side=0", "mass=37,5 kg"}, &entry.Filled{Box: b.ID, Lot: o1, Mass: 37_500_000, MassIn: units.InKilograms}},
		{base + "/fill", []string{"lot=" + o1.String(), "side=0", "bags=1", "volume=6 cups"}, &entry.VolumeFilled{Box: b.ID, Lot: o1, Volume: 1420, VolumeIn: 1}},
		{base + "/fill", []string{"lot=" + o1.String(), "side=0", "volume=1,5 gal", "heaped=yes"}, &entry.VolumeFilled{Box: b.ID, Lot: o1, Volume: 5678, VolumeIn: 4, Heaped: true}},
		{base + "/level", []string{"share=50%"}, &entry.LevelRead{Box: b.ID, Share: entry.Some(units.Share(50_000))}},
		{base + "/drain", []string{"how=some", "mass=2 kg", "side=0"}, &entry.Drained{Box: b.ID, Mass: 2_000_000, MassIn: units.InKilograms}},
		{base + "/drain", []string{"how=all", "where=back in the bags"}, &entry.Drained{Box: b.ID, All: true, Where: "back in the bags"}},
		{"/meter", []string{"reading=212.6", "what=begins", "ground=" + bench.String()}, &entry.CounterStood{Drill: drill, Reading: 212_600, Ground: bench}},
		{"/meter", []string{"reading=214.1", "ground=" + bench.String()}, &entry.MeterRead{Drill: drill, Reading: 214_100, Ground: bench}},
		{"/note", []string{"text=gate is open"}, &entry.Noted{Text: "gate is open"}},
		{"/ground/" + bench.String() + "/stand", []string{"frame=1", "counts=21, 18 25", "species=oat", "day=" + yesterday.Format(time.DateOnly)},
			&entry.StandCounted{Ground: bench, Frame: 929, Day: yesterday.Unix() / 86400, Counts: []entry.SpeciesCount{{Species: "oat", Plants: []int64{21, 18, 25}}}}},
	}
	for _, tt := range tests {
		before := d.View().Entries
		code, body := d.post(tt.path, tt.fields...)
		if code != http.StatusOK || d.View().Entries != before+1 {
			t.Fatalf("%s %v: %d, %d entries more\n%s", tt.path, tt.fields, code, d.View().Entries-before, between(body, `class="wrong"`, "</div>"))
		}
		got := latest(d.handset)
		if !sameBody(got, tt.want) {
			t.Errorf("%s %v wrote %+v\nwant %+v", tt.path, tt.fields, got, tt.want)
		}
		if !strings.Contains(body, "Written:") || !strings.Contains(body, "on this device only") {
			t.Errorf("%s: what was written is not shown, or not marked as here alone", tt.path)
		}
	}
}

// What is wrong with a form is told beside it, nothing is written, and what
// was typed is still there.
func TestFormsRefuse(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	base := "/box/" + box(t, d.handset, "grain").ID.String()
	o1 := "lot=" + lot(t, d.handset, "O-1").ID.String()
	stand := "/ground/" + ground(t, d.handset, "bench").ID.String() + "/stand"
	o1Form := "/lot/" + lot(t, d.handset, "O-1").ID.String()
	tests := []struct {
		path, says string
		fields     []string
	}{
		{base + "/fill", "How many bags", []string{o1, "bags=0"}},
		{base + "/fill", "is a rate", []string{o1, "bags=", "mass=3 lb/ac"}},
		{base + "/fill", "Which lot", []string{"lot=", "bags=2"}},
		{base + "/fill", "not both", []string{o1, "mass=3 lb", "volume=6 cups"}},
		{base + "/fill", "has the unknown unit", []string{o1, "volume=6 hats"}},
		{base + "/dial", "goes from 0 to 100", []string{"to=140", "reason=aim"}},
		{base + "/dial", "Why was it done", []string{"to=30", "reason=other"}},
		{base + "/catch", "missing", []string{o1, "dial=30", "turns=20", "rows=4", "caught="}},
		{base + "/catch", "whole number", []string{o1, "dial=30", "turns=20", "rows=4.5", "caught=260"}},
		{base + "/catch", "rows", []string{o1, "dial=30", "turns=20", "rows=40", "caught=260"}},
		{base + "/catch", "names no row", []string{o1, "dial=30", "turns=20", "which=4-2", "caught=260"}},
		{base + "/catch", "row 3 is named twice", []string{o1, "dial=30", "turns=20", "which=1-4 3", "caught=260"}},
		{base + "/catch", "not both", []string{o1, "dial=30", "turns=20", "which=1-4", "width=30 in", "caught=260"}},
		{base + "/catch", "covers no distance", []string{o1, "dial=30", "turns=20", "distance=150 ft", "way=standing", "rows=4", "caught=120"}},
		{base + "/catch", "missing", []string{o1, "dial=30", "turns=20", "way=driven", "rows=4", "caught=120"}},
		{base + "/catch", "read in two ways", []string{o1, "dial=30", "turns=20", "masses=65, 66 64,65"}},
		{base + "/catch", "read in two ways", []string{o1, "dial=30", "turns=20", "masses=65,66"}},
		{base + "/fill", "could be 1234 or 1.234", []string{o1, "bags=", "mass=1,234 kg"}},
		{base + "/level", "what mass is left", nil},
		{base + "/drain", "What mass was let out", []string{"how=some"}},
		{"/meter", "Which ground", []string{"reading=2", "ground="}},
		{"/meter", "Does work begin there", []string{"reading=212.6", "ground=" + ground(t, d.handset, "bench").ID.String()}},
		{"/meter", "more than it shows now", []string{"reading=212.6", "what=worked", "stood=213", "ground=" + ground(t, d.handset, "bench").ID.String()}},
		{"/meter", "has no number", []string{"reading=two"}},
		{"/note", "missing", []string{"text= "}},
		{stand, "which is today", []string{"frame=1", "counts=3 4", "day=2199-01-01"}},
		{stand, "day is 2001-01-01: must be 2", []string{"frame=1", "counts=3 4", "day=2001-01-01"}},
		{o1Form, "test date is 2199-01-01: must be", []string{"name=O-1", "tested=2199-01-01"}},
	}
	for _, tt := range tests {
		before := d.View().Entries
		code, body := d.post(tt.path, tt.fields...)
		if code != http.StatusUnprocessableEntity || d.View().Entries != before {
			t.Errorf("%s %v: %d, %d entries more", tt.path, tt.fields, code, d.View().Entries-before)
		}
		if alert := between(body, `role="alert" class="wrong"`, "</div>"); !strings.Contains(alert, tt.says) {
			t.Errorf("%s %v: the alert says %q, not %q", tt.path, tt.fields, alert, tt.says)
		}
		for _, f := range tt.fields {
			if _, val, _ := strings.Cut(f, "="); strings.TrimSpace(val) != "" && !strings.Contains(body, `value="`+val+`"`) {
				t.Errorf("%s %v: what was typed is gone", tt.path, tt.fields)
			}
		}
	}
}

// A form that is posted twice, as by a double tap, is written once.
func TestTwiceIsOnce(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	vals := hidden(d.get("/note"))
	before := d.View().Entries
	for range 3 {
		if code, _ := d.send("/note", vals, "text=once"); code != http.StatusOK {
			t.Errorf("answered %d", code)
		}
	}
	if n := d.View().Entries - before; n != 1 {
		t.Errorf("%d entries, not one", n)
	}
}

// A reading below the last one is asked about before it is written.
func TestMeterBelowTheLast(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	bench := "ground=" + ground(t, d.handset, "bench").ID.String()
	record(t, d.handset, &entry.CounterStood{Drill: d.View().Drills[0].ID})
	d.post("/meter", "reading=5", bench)
	if body := d.get("/meter?preview=1&reading=2"); !strings.Contains(body, "set back to nothing") {
		t.Error("not told while it is typed")
	}
	before := d.View().Entries
	code, body := d.post("/meter", "reading=2", bench)
	values, says := answers(body)
	if code != http.StatusConflict || len(says) != 4 || says[1] != "leave 2 out, it was misread" || says[2] != "leave 5 out, that one was misread" {
		t.Fatalf("not asked: %d, %q", code, says)
	}
	if code, _ := d.send("/meter", hidden(body), "answer="+values[1]); code != http.StatusOK || d.View().Entries != before {
		t.Errorf("left out: %d, %d entries", code, d.View().Entries-before)
	}
	if code, _ := d.post("/meter", "reading=2", bench, "back=reset"); code != http.StatusOK || d.View().Entries != before+2 {
		t.Fatalf("a reset and a reading: %d, %d entries", code, d.View().Entries-before)
	}
	if got := d.View().Drills[0].Reading.Total; got != 7000 {
		t.Errorf("the counter comes to %v in all, not 7", got)
	}
	_, body = d.post("/meter", "reading=1.5", bench)
	if values, says = answers(body); len(says) != 4 {
		t.Fatalf("asked %q", says)
	}
	if d.send("/meter", hidden(body), "answer="+values[3]); d.View().Drills[0].Reading.Reading != 1500 {
		t.Errorf("set back to 1.5, and it shows %v", d.View().Drills[0].Reading.Reading)
	}
}

// What was written is struck with a reason, and stays in the log.
func TestStrike(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "grain")
	id := record(t, d.handset, &entry.Filled{Box: b.ID, Lot: lot(t, d.handset, "O-1").ID, Bags: 2000})[0]
	path := "/entry/" + id.String()
	if code, _ := d.post(path, "why="); code != http.StatusUnprocessableEntity {
		t.Errorf("struck without a reason: %d", code)
	}
	code, body := d.post(path, "why=it was the other box")
	if code != http.StatusOK || !strings.Contains(body, "<s>filled box grain") || !strings.Contains(body, "it was the other box") {
		t.Errorf("not shown as struck: %d", code)
	}
	if left := box(t, d.handset, "grain").Left; left != 0 {
		t.Errorf("%v is still in the box", left)
	}
	if log := d.get("/log?about=" + url.QueryEscape(b.ID.String())); !strings.Contains(log, "<s>filled box grain") {
		t.Error("the log of the box lost it")
	}
	if strings.Contains(d.get("/entry/"+ground(t, d.handset, "bench").ID.Log.String()+"/1"), "Strike it") {
		t.Error("the founding of the farm can be struck")
	}
}

// The hitch, from beginning to ready, by its buttons.
func TestHitch(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	drill := func() string { return "drill=" + d.View().Drills[0].ID.String() }
	at := func() url.Values { return hidden(d.get("/hitch")) }
	press := func(path string, fields ...string) {
		t.Helper()
		vals := at()
		vals.Set("number", path+strings.Join(fields, "")) // one form of many on the view
		if code, body := d.send(path, vals, append(fields, drill())...); code != http.StatusOK {
			t.Fatalf("%s: %d\n%s", path, code, between(body, "<main", "</main>"))
		}
	}
	if !strings.Contains(d.get("/hitch"), "engine off, key out") {
		t.Error("no caution beside the list")
	}
	press("/hitch/begin", "tractor=old blue")
	hitch := "hitch=" + d.View().Drills[0].Hitch.Begun.String()
	press("/hitch/sign", hitch, "item=1")
	if d.View().Drills[0].Hitch.Ready {
		t.Fatal("ready with a required check unsigned")
	}
	press("/hitch/sign", hitch, "item=2")
	if !d.View().Drills[0].Hitch.Ready || !strings.Contains(d.get("/"), "READY") {
		t.Fatal("not ready with all that is required signed")
	}
	d.hold("/")
	hold := d.View().Drills[0].Hitch.Holds[0].Entry
	for _, path := range []string{"/", "/log", "/note"} {
		if !strings.Contains(d.get(path), "HOLD on borrowed drill") {
			t.Errorf("%s does not tell of the hold", path)
		}
	}
	press("/hitch/release", "hold="+hold.String(), "why=looked it over")
	press("/hitch/unhitch")
	press("/hitch/move", "state=road")
	if h := d.View().Drills[0]; h.Hitch.Ready || len(h.Hitch.Holds) != 0 || h.State != entry.Transport {
		t.Errorf("after unhitching: %+v", h)
	}
	vals := at()
	vals.Set("number", "late")
	if code, body := d.send("/hitch/sign", vals, hitch, "item=1", drill()); code != http.StatusUnprocessableEntity || !strings.Contains(body, "another one by now") {
		t.Errorf("signed a hitch that is over: %d", code)
	}
}

func latest(c *handset) entry.Body {
	lines := c.Lines()
	return lines[len(lines)-1].Body
}

func sameBody(a, b entry.Body) bool { return show(a) == show(b) }

func show(b entry.Body) string { return fmt.Sprintf("%T %+v", b, b) }

// between is the text from one mark up to the next.
func between(text, from, to string) string {
	_, rest, _ := strings.Cut(text, from)
	out, _, _ := strings.Cut(rest, to)
	return out
}

// No area follows from a first reading: the page asks where the counter stood
// when work began, once, and again when the drill was hitched anew. Where nobody
// said, the area is not known, and the figure leads to the doubt that says so.
func TestTheCounterBegins(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	d := serve(t, foundAt(t, "", day.now), page.Options{Now: day.now})
	bench := ground(t, d.handset, "bench").ID
	on := "ground=" + bench.String()
	before := d.View().Entries
	if code, body := d.post("/meter", "reading=212.6", on); code != http.StatusUnprocessableEntity || d.View().Entries != before || !strings.Contains(body, "Work begins now, at 212.6") {
		t.Fatalf("a first reading was not asked about: %d", code)
	}
	d.post("/meter", "reading=212.6", on, "what=worked", "stood=210.1")
	if g := ground(t, d.handset, "bench"); g.Open || g.Done.Acres() < 2.49 || g.Done.Acres() > 2.51 || d.View().Entries != before+2 {
		t.Errorf("worked since 210.1: %v done", g.Done.Acres())
	}
	if body := d.get("/meter?reading=214.6"); strings.Contains(body, "Where did it stand") || !strings.Contains(body, "2 ac since then") {
		t.Error("asked again, or does not say what was worked")
	}
	day.pass(time.Hour)
	d.send("/hitch/begin", hidden(d.get("/hitch")), "tractor=old blue")
	if code, body := d.post("/meter", "reading=230", on); code != http.StatusUnprocessableEntity || !strings.Contains(body, "Did others have it?") {
		t.Errorf("hitched anew: %d", code)
	}
	d.post("/meter", "reading=230", on, "what=begins")
	if g := ground(t, d.handset, "bench"); g.Done.Acres() > 2.51 {
		t.Errorf("what others did counts: %v", g.Done.Acres())
	}
}

// Where nobody said where the counter stood, the area is not known, and what is
// shown in its place leads to the doubt.
func TestFiguresShowTheirDoubts(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	g := ground(t, d.handset, "bench").ID
	record(t, d.handset, &entry.MeterRead{Drill: d.View().Drills[0].ID, Reading: 212_600, Ground: g})
	for x := range words.Doubts(d.View()) {
		if x.Kind != farm.CounterBegin || x.Settled {
			continue
		}
		for _, at := range []string{"/", "/ground/" + g.String(), "/box/" + box(t, d.handset, "grain").ID.String()} {
			if body := d.get(at); !strings.Contains(body, `class="rests"`) || !strings.Contains(body, "/doubt/"+x.ID()) {
				t.Errorf("%s does not show what it rests on", at)
			}
		}
		if body := d.get("/"); !strings.Contains(body, "not known how much of 7.5 ac is done") || strings.Contains(body, "0 ac of 7.5 ac") {
			t.Error("the area is shown as if it were known")
		}
		d.post("/doubt/"+x.ID(), "reading=210.1", "why=by the photo")
		if body := d.get("/"); strings.Contains(body, "/doubt/"+x.ID()) || !strings.Contains(body, "2.5 ac of 7.5 ac done") {
			t.Error("still in doubt when it is settled")
		}
		return
	}
	t.Fatal("no doubt about where the counter stood")
}
