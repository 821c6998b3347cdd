package fields

import (
	"errors"
	"slices"
	"testing"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// A check is signed by its number, its name, or a beginning that only it has:
// never a wrong one for a slip of the finger.
func TestCheckIsNeverGuessed(t *testing.T) {
	list := farm.Checklist{Items: []entry.CheckItem{{Name: "hoses tied clear"}, {Name: "hoses not pinched"}, {Name: "2 pins in"}, {Name: "Jack up"}}}
	for text, want := range map[string]int64{
		"1": 1, "4": 4, "hoses tied": 1, "HOSES NOT": 2, "jack up": 4, "j": 4, "2": 2, "2 pins in": 3, "2 ": 3,
		"": 0, "hoses": 0, "0": 0, "5": 0, "-1": 0, "hoses tied claer": 0, "clear": 0,
	} {
		if got, err := Check(list, text); got != want || (err == nil) != (want > 0) {
			t.Errorf("Check(%q) = %d, %v; want %d", text, got, err, want)
		}
	}
}

// typed is fields as a form has them.
type typed map[string]string

func (f typed) Typed(field string) (string, bool) { return f[field], f[field] != "" }
func (f typed) Each(field string) []string        { return []string{f[field]} }

// reader reads one text of a field named x, in a form or not.
func reader(text string, labelled bool) (*Reader, *error) {
	var wrong error
	return &Reader{Texts: typed{"x": text}, Labelled: labelled, Refuse: func(_ string, err error) {
		if wrong == nil {
			wrong = err
		}
	}}, &wrong
}

// Where a comma may be a decimal one, numbers are parted at spaces, and what
// can be read in two ways is refused; elsewhere commas part them.
func TestNumbersArePartedAsTheyAreTyped(t *testing.T) {
	for _, c := range []struct {
		text     string
		labelled bool
		want     []string
		wrong    bool
	}{
		{"21.1,20.8", false, []string{"21.1", "20.8"}, false},
		{"32, 33, 32 33", true, []string{"32", "33", "32", "33"}, false},
		{"32,5 33 32,25", true, []string{"32,5", "33", "32,25"}, false},
		{"65,66,64", true, []string{"65", "66", "64"}, false},
		{"65,66", true, nil, true},
		{"65, 66 64,65", true, nil, true},
	} {
		r, wrong := reader(c.text, c.labelled)
		if got := r.Numbers("x"); !slices.Equal(got, c.want) || (*wrong != nil) != c.wrong {
			t.Errorf("%q, labelled %v: %q, %v; want %q", c.text, c.labelled, got, *wrong, c.want)
		}
	}
}

// A row is named once, by its number or within a range.
func TestRows(t *testing.T) {
	for text, want := range map[string][]int64{
		"1-4": {1, 2, 3, 4}, "3,7": {3, 7}, "1–2,9": {1, 2, 9}, "": nil,
		"1,1": nil, "0": nil, "4-1": nil, "x": nil, "1001": nil, "2-": nil,
	} {
		r, wrong := reader(text, false)
		if got := r.Rows("x"); !slices.Equal(got, want) || (*wrong != nil) != (want == nil && text != "") {
			t.Errorf("%q: %v, %v; want %v", text, got, *wrong, want)
		}
	}
}

// A moment is so long ago, a time today, a day, or both, in the zone of now.
func TestMoment(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	now := time.Date(2026, 9, 14, 6, 0, 0, 0, zone)
	for text, want := range map[string]time.Time{
		"2h": now.Add(-2 * time.Hour), "5:40": time.Date(2026, 9, 14, 5, 40, 0, 0, zone), "2026-09-13": time.Date(2026, 9, 13, 0, 0, 0, 0, zone),
		"2026-09-13 06:05": time.Date(2026, 9, 13, 6, 5, 0, 0, zone), "2026-09-13T06:05:00Z": time.Date(2026, 9, 13, 6, 5, 0, 0, time.UTC),
	} {
		if got, err := Moment(text, now); err != nil || !got.Equal(want) {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"yesterday", "25:00", "", "2026-13-01"} {
		if got, err := Moment(text, now); err == nil {
			t.Errorf("%q is %v", text, got)
		}
	}
}

// Things are found as they are called, in any letter case where that is clear,
// or by their IDs; a name that is near is told, and two of a name are not
// guessed between.
func TestThingsAreFound(t *testing.T) {
	id := func(n uint64) entry.ID { return entry.ID{Log: entry.LogID{1}, Seq: n} }
	f := Finder{View: &farm.View{
		Drills: []farm.Drill{{ID: id(1), Name: "red"}, {ID: id(2), Name: "blue"}},
		Boxes:  []farm.Box{{ID: id(3), Name: "grain", Drill: id(1), Sides: []string{"left", "right"}}, {ID: id(4), Name: "grain", Drill: id(2)}, {ID: id(5), Name: "Legume", Drill: id(2)}},
		Lots:   []farm.Lot{{ID: id(6), Name: "O-1"}, {ID: id(7), Name: "o-1"}},
	}}
	var many *Unclear
	var none *Unknown
	if b, err := f.Box("legume"); err != nil || b.ID != id(5) {
		t.Errorf("legume is %v, %v", b.ID, err)
	}
	if _, err := f.Box("grain"); !errors.As(err, &many) || many.What != "box" {
		t.Errorf("grain: %v", err)
	}
	f.Drill = "red"
	if b, err := f.Box("grain"); err != nil || b.ID != id(3) {
		t.Errorf("grain of red is %v, %v", b.ID, err)
	}
	if l, err := f.Lot("o-1"); err != nil || l.ID != id(7) {
		t.Errorf("o-1 is %v, %v", l.ID, err)
	}
	if l, err := f.Lot(id(6).String()); err != nil || l.ID != id(6) {
		t.Errorf("%v is %v, %v", id(6), l.ID, err)
	}
	if _, err := f.Lot("0-1"); !errors.As(err, &none) || none.Hint != "nearest: O-1, o-1" {
		t.Errorf("0-1: %v", err)
	}
	if side, err := f.Side(f.View.Boxes[0], "RIGHT"); side != 2 || err != nil {
		t.Errorf("RIGHT is %d, %v", side, err)
	}
	f.Drill = ""
	if _, err := f.TheDrill(); !errors.As(err, &many) || len(many.May) != 2 {
		t.Errorf("the drill: %v", err)
	}
}
