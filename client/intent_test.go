package client_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// shed is a farm with a drill of two boxes, of which one has a dial for each
// compartment, and of which little more is known yet.
type shed struct {
	*device
	drill, bare, grain, legume, marked, oats, clover, bench entry.ID
}

func newShed(t *testing.T) *shed {
	s := &shed{device: found(t, "")}
	make := func(b entry.Body) entry.ID {
		ids, err := s.Record(within(t), entry.ID{}, b)
		if err != nil {
			t.Fatal(err)
		}
		return ids[0]
	}
	s.bare = make(&entry.DrillSet{Name: entry.Some("bare drill")})
	s.drill = make(&entry.DrillSet{Name: entry.Some("borrowed drill"), Spacing: entry.Some(19050 * units.Length(10)), Roll: entry.Some(units.Length(2_000_000)), Counter: entry.CountsAcres})
	s.grain = make(&entry.BoxSet{Drill: s.drill, Name: entry.Some("grain"), Sides: []string{"left", "right"}, OwnDials: entry.Some(int64(1)),
		DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(60_000))})
	s.legume = make(&entry.BoxSet{Drill: s.bare, Name: entry.Some("legume")})
	s.marked = make(&entry.BoxSet{Drill: s.drill, Name: entry.Some("grass")})
	make(&entry.DialMarked{Box: s.marked, Marks: []string{"A", "B", "C"}})
	s.oats = make(&entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oats")})
	s.clover = make(&entry.LotSet{Name: entry.Some("C-7"), Species: entry.Some("a weed of our own")})
	s.bench = make(&entry.GroundSet{Name: entry.Some("bench")})
	return s
}

// do writes an intent as a person who says yes to everything.
func (s *shed) do(t *testing.T, in ...client.Intent) ([]entry.ID, error) {
	return s.RecordWith(within(t), entry.ID{}, s.Intend(in...))
}

// Each thing that can be wrong with an intent is refused, under the field that
// it is wrong in, and nothing is written.
func TestIntentsThatCannotBeWritten(t *testing.T) {
	s := newShed(t)
	lb := units.Mass(453_592_370) / 1000 * 10
	gone := entry.ID{Log: s.Device().Log(), Seq: 999}
	caught := func(c entry.Caught) client.Catch { return client.Catch{Caught: c} }
	some := []units.Mass{lb}
	for _, c := range []struct {
		in    client.Intent
		field string
		why   client.Wrong
	}{
		{client.Fill{Box: s.legume, Bags: 3000}, "lot", client.Missing},
		{client.Fill{Box: s.legume, Lot: gone, Bags: 3000}, "lot", client.NotHere},
		{client.Fill{Box: s.legume, Lot: s.oats, Bags: 3000}, "bags", client.BagUnknown},
		{client.Fill{Box: s.legume, Lot: s.oats}, "bags", client.NoAmount},
		{client.Fill{Box: s.legume, Lot: s.oats, Mass: lb, Volume: 1}, "volume", client.TwoAmounts},
		{client.Fill{Box: s.legume, Lot: s.clover, Volume: 1000}, "volume", client.MeasureUnknown},
		{client.Fill{Box: gone, Lot: s.oats, Mass: lb}, "box", client.NotHere},
		{client.Fill{Box: s.grain, Side: 3, Lot: s.oats, Mass: lb}, "side", client.NoSuchSide},
		{client.Drain{Box: s.legume}, "mass", client.NoAmount},
		{client.Level{Box: s.legume}, "mass", client.NoAmount},
		{client.Level{Box: s.legume, Mass: entry.Some(lb), Share: entry.Some(units.Share(1))}, "share", client.TwoAmounts},
		{client.Bags{Lot: s.oats}, "bags", client.NoAmount},
		{client.Weigh{Lot: s.oats, Mass: lb}, "volume", client.NoAmount},
		{client.Dial{Box: s.grain, To: 20_000, Why: "aim"}, "side", client.SideNeeded},
		{client.Dial{Box: s.legume, Side: 1, To: 20_000, Why: "aim"}, "side", client.NoSuchSide},
		{client.Dial{Box: s.grain, Side: 1, To: 20_000}, "why", client.Missing},
		{client.Dial{Box: s.marked, To: 4000, Why: "aim"}, "to", client.OffTheDial},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Rows: 4, Masses: some}), "turns", client.NoAmount},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Rows: 4, Masses: some, Way: entry.Moving}), "distance", client.NoAmount},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Turns: 20_000, Masses: some}), "rows", client.NoAmount},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Turns: 20_000, Rows: 4}), "caught", client.NoAmount},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Turns: 20_000, Rows: 4, Masses: some}), "turns", client.RollUnknown},
		{caught(entry.Caught{Box: s.legume, Lot: s.oats, Dial: 20_000, Distance: 5_000_000, Rows: 4, Masses: some}), "rows", client.SpacingUnknown},
		{client.Read{Drill: s.bare, Ground: s.bench}, "drill", client.CounterUnknown},
		{client.Read{Drill: s.drill}, "ground", client.Missing},
		{client.Begin{Drill: s.bare}, "drill", client.CounterUnknown},
		{client.Finish{Ground: s.bench, Drill: s.drill, Correct: true}, "correct", client.NoCorrection},
		{client.Stand{StandCounted: entry.StandCounted{Ground: s.bench, Counts: []entry.SpeciesCount{{Plants: []int64{3}}}}}, "frame", client.NoAmount},
		{client.Hitch{Drill: s.drill}, "checks", client.NoChecks},
		{client.Sign{Drill: s.drill, Items: []int64{1}}, "hitch", client.NoHitch},
		{client.Release{Drill: s.drill, Why: "seen to"}, "holds", client.NoHold},
		{client.SeenHold{}, "holds", client.NoHold},
		{client.SeenHold{Holds: []entry.ID{s.drill}}, "holds", client.NoSuchHold},
		{client.Note{Text: " "}, "text", client.Missing},
		{client.Settle{Doubt: "00000000", Choice: "seen"}, "doubt", client.NotHere},
	} {
		before := s.Digest().Entries
		_, err := s.do(t, c.in)
		var r client.Refused
		if !errors.As(err, &r) || r[0].Field != c.field || r[0].Why != c.why {
			t.Errorf("%T %+v: %v, want %s: %s", c.in, c.in, err, c.field, c.why)
		}
		if s.Digest().Entries != before {
			t.Errorf("%T %+v: something was written", c.in, c.in)
		}
	}
}

// A dial is moved from where that side's stands, and nobody has to say so.
func TestADialKnowsWhereItStood(t *testing.T) {
	s := newShed(t)
	for _, to := range []units.Dial{20_000, 22_000} {
		if _, err := s.do(t, client.Dial{Box: s.grain, Side: 2, To: to, Why: "aim"}, client.Dial{Box: s.grain, Side: 1, To: 30_000, Why: "aim"}); err != nil {
			t.Fatal(err)
		}
	}
	ids, err := s.do(t, client.Dial{Box: s.grain, Side: 2, To: 24_000, Why: "aim"})
	if err != nil {
		t.Fatal(err)
	}
	l, _ := s.Line(ids[0])
	if b := l.Body.(*entry.DialMoved); b.From != entry.Some(units.Dial(22_000)) {
		t.Errorf("moved from %v, want 22", b.From)
	}
}

// A signature is for the hitch that its writer was shown, and for checks that are
// on its list; a release is of holds that are open.
func TestSignaturesAndReleasesAreForWhatWasShown(t *testing.T) {
	s := newShed(t)
	if _, err := s.Record(within(t), entry.ID{}, &entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "pin in", Required: true}}}); err != nil {
		t.Fatal(err)
	}
	refused := func(in client.Intent, why client.Wrong) {
		t.Helper()
		var r client.Refused
		if _, err := s.do(t, in); !errors.As(err, &r) || r[0].Why != why {
			t.Errorf("%+v: %v, want: %s", in, err, why)
		}
	}
	did := func(in client.Intent) entry.ID {
		t.Helper()
		ids, err := s.do(t, in)
		if err != nil {
			t.Fatal(err)
		}
		return ids[0]
	}
	first := did(client.Hitch{Drill: s.drill})
	second := did(client.Hitch{Drill: s.drill})
	refused(client.Sign{Drill: s.drill, Hitch: first, Items: []int64{1}}, client.AnotherHitch)
	refused(client.Sign{Drill: s.drill, Hitch: second, Items: []int64{1, 2}}, client.NoSuchCheck)
	did(client.Sign{Drill: s.drill, Hitch: second, Items: []int64{1}})
	hold := did(client.Hold{Drill: s.drill, Why: "hose pinched"})
	refused(client.Release{Drill: s.drill, Holds: []entry.ID{first}, Why: "freed"}, client.NoSuchHold)
	refused(client.Release{Drill: s.drill, Holds: []entry.ID{hold}}, client.Missing)
	all := did(client.Hold{Why: "hose leaks"})
	saw := did(client.SeenHold{})
	if l, _ := s.Line(saw); !slices.Equal(l.Body.(*entry.HoldSeen).Holds, []entry.ID{all, hold}) {
		t.Errorf("%+v is seen, want both that are open, each once", l.Body)
	}
	did(client.Release{Drill: s.drill, Why: "freed"})
	did(client.SeenHold{Holds: []entry.ID{hold}}) // it was shown
	if d, _ := s.View().DrillOf(s.drill); !d.Hitch.Ready {
		t.Errorf("not ready: %v", d.Hitch.Missing)
	}
}

// What the counter showed when work began lies below the reading in doubt.
func TestABeginLiesBelowTheReadingInDoubt(t *testing.T) {
	s := newShed(t)
	if _, err := s.do(t, client.Read{Drill: s.drill, Reading: 52_000, Ground: s.bench}); err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(slices.Collect(words.Doubts(s.View())), func(d words.Doubt) bool { return d.Kind == farm.CounterBegin })
	doubt := slices.Collect(words.Doubts(s.View()))[i].ID()
	for began, want := range map[entry.Opt[units.Reading]]client.Wrong{
		{}:                                client.NoSuchChoice,
		entry.Some(units.Reading(53_000)): client.AboveReading,
		entry.Some(units.Reading(50_000)): "",
	} {
		_, err := s.do(t, client.Settle{Doubt: doubt, Began: began, Why: "by the photo"})
		var r client.Refused
		if errors.As(err, &r); want != "" && (len(r) == 0 || r[0].Why != want) || want == "" && err != nil {
			t.Errorf("began %v: %v, want %q", began, err, want)
		}
	}
}

// Amending and striking are for what can be, and an entry is not amended into
// what its intent would refuse; what was let through once may stay.
func TestAmendAndStrike(t *testing.T) {
	s := newShed(t)
	ids, err := s.do(t, client.Fill{Box: s.legume, Lot: s.oats, Mass: 1_000_000}, client.Note{Text: "begun"})
	if err != nil {
		t.Fatal(err)
	}
	fill, note := ids[0], ids[1]
	for _, c := range []struct {
		in  client.Intent
		why client.Wrong
	}{
		{client.Amend{Entry: entry.ID{Log: s.Device().Log(), Seq: 999}, Body: &entry.Noted{Text: "x"}}, client.NotHere},
		{client.Amend{Entry: note, Body: &entry.Noted{Text: "begun"}}, client.NothingNew},
		{client.Amend{Entry: note, Body: &entry.Noted{}}, client.Missing},
		{client.Amend{Entry: note}, client.NotAmended},
		{client.Amend{Entry: entry.ID{Log: s.Device().Log(), Seq: 1}, Body: &entry.FarmFounded{}}, client.NotAmended},
		{client.Amend{Entry: fill, Body: &entry.Filled{Box: s.legume, Lot: s.oats, Bags: 3000}}, client.BagUnknown},
		{client.Amend{Entry: fill, Body: &entry.Filled{Box: s.legume, Lot: s.oats, Mass: 2_000_000}}, ""},
		{client.Strike{Entry: fill}, client.Missing},
		{client.Strike{Entry: entry.ID{Log: s.Device().Log(), Seq: 1}, Why: "x"}, client.NotStruck},
		{client.Strike{Entry: note, Why: "not yet"}, ""},
		{client.Amend{Entry: note, Body: &entry.Noted{Text: "x"}}, client.Gone},
	} {
		_, err := s.do(t, c.in)
		var r client.Refused
		if errors.As(err, &r); c.why == "" && err != nil || c.why != "" && (len(r) == 0 || r[0].Why != c.why) {
			t.Errorf("%T %+v: %v, want %q", c.in, c.in, err, c.why)
		}
	}
}

// What is set of a thing is what is new of it alone, and a thing that is new has
// a name; a plan has one aim for each seed.
func TestSettingSaysWhatIsNew(t *testing.T) {
	s := newShed(t)
	some, some10 := entry.Some[string], entry.Some(int64(10))
	if _, err := s.Record(t.Context(), entry.ID{}, &entry.DrillSet{Drill: s.drill, Rows: some10}, &entry.DrillSet{Drill: s.bare, Rows: some10}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		in    client.Intent
		field string
		why   client.Wrong
	}{
		{client.Lot{}, "name", client.Missing},
		{client.Lot{LotSet: entry.LotSet{Name: some("R-1"), Species: some("ryee")}}, "species", client.SpeciesUnknown},
		{client.Lot{LotSet: entry.LotSet{Lot: s.oats, Name: some("O-1"), Species: some("oats")}}, "", client.NothingNew},
		{client.Lot{LotSet: entry.LotSet{Lot: s.oats, Name: some("")}}, "name", client.Missing},
		{client.Lot{LotSet: entry.LotSet{Lot: s.oats, Tested: entry.Some(int64(40_000))}}, "tested", client.NoSuchDay},
		{client.Lot{LotSet: entry.LotSet{Name: some("R-2")}, Label: entry.Some(entry.LabelSet{Lines: []entry.LabelLine{{Share: entry.Some(units.Share(90_000))}}})}, "species", client.NoSpecies},
		{client.Ground{}, "name", client.Missing},
		{client.Ground{GroundSet: entry.GroundSet{Ground: s.bench, Name: some("bench")}}, "", client.NothingNew},
		{client.Plan{PlanSet: entry.PlanSet{Ground: s.bench}}, "", client.NothingNew},
		{client.Plan{PlanSet: entry.PlanSet{Ground: s.bench, Components: []entry.Component{{Box: s.legume, Live: 1}}}}, "lot", client.Missing},
		{client.Plan{PlanSet: entry.PlanSet{Ground: s.bench, Components: []entry.Component{{Lot: s.oats, Live: 1}}}}, "box", client.BoxMissing},
		{client.Plan{PlanSet: entry.PlanSet{Ground: s.bench, Components: []entry.Component{{Lot: s.oats, Box: s.legume}}}}, "live", client.OneAim},
		{client.Chart{Box: s.legume, Species: "oats"}, "", client.NothingNew},
		{client.Chart{Box: s.legume, Species: "oats", Points: []farm.ChartPoint{{Dial: 20_000}}}, "rate", client.NoAmount},
		{client.Chart{Box: s.legume, Species: "oats", Points: []farm.ChartPoint{{Dial: 20_000, Rate: 1}, {Dial: 20_000, Rate: 2}}}, "dial", client.PointTwice},
		{client.Chart{Box: s.legume, Species: "oats", Points: []farm.ChartPoint{{Dial: 30_000, Rate: 3}, {Dial: 20_000, Rate: 2}, {Dial: 40_000, Rate: 3}}}, "rate", client.NotRising},
		{client.Chart{Box: s.grain, Species: "oats", Points: []farm.ChartPoint{{Dial: 20_000, Rate: 2}, {Dial: 30_000, Rate: 1}}}, "rate", client.NotRising},
		{client.Spot{Pinned: entry.Pinned{Ground: s.bench, What: entry.PinnedBlockedRow, Row: 99}}, "row", client.NoSuchRow},
	} {
		_, err := s.do(t, c.in)
		var r client.Refused
		if !errors.As(err, &r) || r[0].Field != c.field || r[0].Why != c.why {
			t.Errorf("%T %+v: %v, want %s: %s", c.in, c.in, err, c.field, c.why)
		}
	}
	ids, err := s.do(t, client.Ground{GroundSet: entry.GroundSet{Ground: s.bench, Name: some("bench"), Notes: some("stones")}})
	if err != nil {
		t.Fatal(err)
	}
	l, _ := s.Line(ids[0])
	if b, ok := l.Body.(*entry.GroundSet); !ok || b.Name.Set || b.Notes.Val != "stones" {
		t.Errorf("written: %+v", l.Body)
	}
}

// What is said of the crew is for who is of it, and for devices that ask.
func TestWordsAboutTheCrew(t *testing.T) {
	s := newShed(t)
	gone := entry.ID{Log: s.Device().Log(), Seq: 999}
	for _, c := range []struct {
		in  client.Intent
		why client.Wrong
	}{
		{client.LetIn{Device: entry.DeviceID{9}, Person: s.Person()}, client.NothingOfIt},
		{client.LetIn{Device: s.Device(), Person: gone}, client.NobodyMeant},
		{client.LetIn{Device: s.Device(), Name: "Ben"}, client.Missing},
		{client.KeepOut{Device: entry.DeviceID{9}}, client.NothingOfIt},
		{client.SetRole{Member: gone, Role: entry.Helper}, client.NotHere},
		{client.SetRole{Member: s.Person()}, client.Missing},
		{client.TakeIn{Device: s.Device()}, client.NotStopped},
		{client.TakeIn{Device: entry.DeviceID{9}}, client.NotHere},
	} {
		_, err := s.do(t, c.in)
		var r client.Refused
		if !errors.As(err, &r) || r[0].Why != c.why {
			t.Errorf("%T %+v: %v, want %q", c.in, c.in, err, c.why)
		}
	}
}

// The rules stand in one place: a command or a view writes no entry past its
// intent.
func TestFrontEndsWriteByIntents(t *testing.T) {
	past := pastIntents()
	for _, text := range []string{
		`b := &entry.Noted{Text: "x"}`, `b := entry.Noted{Text: "x"}`, `b := new(entry.Noted)`, `b := new(entry.LotSet)`, `b := &entry.LotSet{}`,
		`list := []entry.Noted{{Text: "x"}}`, `var b entry.Noted`, `entry.New(entry.KindNoted)`,
		`ids, err := k.farm.Record(ctx, who, b)`, `build := client.Bodies(b)`, `k.farm.RecordWith(ctx, who, build)`,
	} {
		if past(text) == "" {
			t.Errorf("let through: %s", text)
		}
	}
	for _, text := range []string{
		`client.Lot{LotSet: entry.LotSet{Lot: id}}`, `func(a *amender, b *entry.Noted) { a.words("text", &b.Text) }`,
		`k.farm.RecordWith(k.cmd.Context(), who, k.farm.Intend(s))`, `return h.Record(in, "")`, `p.Bodies(s)`, `k.fetchRecord()`,
	} {
		if at := past(text); at != "" {
			t.Errorf("refused: %s in %s", at, text)
		}
	}
	n := 0
	for _, pattern := range []string{"page/*.go", "mobile/*.go", "../cmd/turnrow/*.go"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			n++
			if at := past(string(text)); at != "" && !strings.HasSuffix(name, "_test.go") {
				t.Errorf("%s writes past an intent: %s", name, at)
			}
		}
	}
	if n < 100 {
		t.Errorf("%d files were looked at", n)
	}
}

// pastIntents finds in a source text the first thing that makes an entry, or
// writes one, otherwise than by an intent. The kinds that an intent has a field
// of are made as its values: as pointers only they are a body.
func pastIntents() func(text string) string {
	var kinds, alone []string
	parts := []string{"LotSet", "LabelSet", "GroundSet", "PlanSet"}
	for k := range entry.Kinds() {
		name := reflect.TypeOf(entry.New(k)).Elem().Name()
		kinds = append(kinds, name)
		if !slices.Contains(parts, name) {
			alone = append(alone, name)
		}
	}
	all := strings.Join(kinds, "|")
	past := regexp.MustCompile(`&entry\.(` + all + `)\{|\bnew\(entry\.(` + all + `)\)|\bentry\.(` + strings.Join(alone, "|") + `)\{|` +
		`\bvar \w+ entry\.(` + all + `)\b|\bentry\.New\(|\bclient\.Bodies\(|\w+\.Record(With)?\(.*`)
	byIntent := regexp.MustCompile(`\.RecordWith\(.*\.Intend\(|^h\.Record\(in, "(anyway)?"\)$`) // the latter mobile's own, of an intent as JSON
	return func(text string) string {
		for _, at := range past.FindAllString(text, -1) {
			if !byIntent.MatchString(at) {
				return at
			}
		}
		return ""
	}
}
