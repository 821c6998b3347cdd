package logtest

import (
	"crypto/ed25519"
	"errors"
	"reflect"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// record: what is recorded reads back the same, in order, also after the store
// was closed and opened again; clocks follow the wall clock, and count on where it stands back by
// less than an hour.
func (s suite) record(t *testing.T) {
	c := NewCrew(1)
	st := s.start(t, "a")
	l := Must(st.Farm(c.Farm))(t)
	d := c.Devices[0]
	var wrote []entry.Entry
	for i, wall := range []int64{Morning, Morning + 5000, Morning - 3_500_000, 0, Morning + 1} {
		draft := Note("at %d", wall)
		if i == 0 {
			draft = c.First(0)
		}
		wrote = append(wrote, Must(l.Record(d.Key, d.ID, wall, nil, draft))(t)...)
	}
	for i, e := range wrote {
		if e.Seq != uint64(i+1) || e.Log != d.ID.Log() {
			t.Fatalf("entry %d is %s", i, e.ID)
		}
		if e.Clock.Millis() < e.Wall || i == 2 && e.Clock != wrote[1].Clock+1 || i == 3 && e.Clock.Millis() != 0 {
			t.Errorf("clock of entry %d is %d.%d at %d", i, e.Clock.Millis(), e.Clock.Count(), e.Wall)
		}
	}
	if got := wrote[3].Wall; got != 0 {
		t.Errorf("wall clock 0 was kept as %d", got)
	}
	if got := All(t, l); !reflect.DeepEqual(got, wrote) {
		t.Fatalf("read  %+v\nwrote %+v", got, wrote)
	}
	before := l.Heads()
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	again := s.farm(t, "a", c)
	if got := All(t, again); !reflect.DeepEqual(got, wrote) {
		t.Fatal("entries differ after opening again")
	}
	if !reflect.DeepEqual(again.Heads(), before) {
		t.Fatalf("heads differ after opening again:\n%+v\n%+v", again.Heads(), before)
	}
}

// recordAllOrNone: a batch whose last draft is out of range leaves nothing.
func (s suite) recordAllOrNone(t *testing.T) {
	c := NewCrew(1)
	l := s.farm(t, "a", c)
	c.Join(t, l, 0)
	d := c.Devices[0]
	_, err := l.Record(d.Key, d.ID, Morning, nil, Note("good"), Note("good too"), entry.Draft{Body: &entry.Noted{}})
	if !errors.Is(err, wire.ErrDraft) {
		t.Fatalf("error %v", err)
	}
	if got := All(t, l); len(got) != 1 {
		t.Fatalf("%d entries", len(got))
	}
	if es := c.Write(t, l, 0, Note("goes on")); es[0].Seq != 2 {
		t.Fatalf("goes on at %d", es[0].Seq)
	}
}

func (s suite) recordRefuses(t *testing.T) {
	c := NewCrew(3)
	l := s.farm(t, "a", c)
	a, b := c.Devices[0], c.Devices[1]
	other := entry.Draft{Body: &entry.FarmFounded{Name: "Other", Owner: "Ida", Key: b.Public(), Paper: paper}}
	swapped := c.First(1)
	swapped.Body.(*entry.DeviceEnrolled).Key = a.Public()
	for _, r := range []struct {
		name   string
		key    ed25519.PrivateKey
		device entry.DeviceID
		draft  entry.Draft
		seen   chain.Frontier
		want   error
	}{
		{"a first entry that names no key", b.Key, b.ID, Note("hello"), nil, wire.ErrMalformed},
		{"a first entry that names another's key", b.Key, b.ID, swapped, nil, s.errs.Key},
		{"founding a farm that is not its own", b.Key, b.ID, other, nil, wire.ErrMalformed},
		{"no key", nil, b.ID, c.First(1), nil, s.errs.Key},
		{"another's key", b.Key, a.ID, Note("as somebody else"), nil, s.errs.Key},
		{"having seen what is not stored", a.Key, a.ID, Note("hm"), chain.Frontier{{Log: b.ID.Log(), Seq: 1}}, s.errs.Unseen},
		{"a reference to what was not seen", a.Key, a.ID, entry.Draft{Body: &entry.Struck{Entry: entry.ID{Log: b.ID.Log(), Seq: 1}, Why: "x"}}, nil, wire.ErrDraft},
		{"no body", a.Key, a.ID, entry.Draft{}, nil, wire.ErrDraft},
	} {
		if r.device == a.ID && len(l.Frontier()) == 0 {
			c.Join(t, l, 0)
		}
		before := len(All(t, l))
		if _, err := l.Record(r.key, r.device, Morning, r.seen, r.draft); !errors.Is(err, r.want) {
			t.Errorf("%s: error %v", r.name, err)
		}
		if got := len(All(t, l)); got != before {
			t.Errorf("%s: %d entries, %d before", r.name, got, before)
		}
	}
}

// seen: an entry says what its writer had newly seen, once; a draft's own words
// on that stand, also for what is not stored here.
func (s suite) seen(t *testing.T) {
	c := NewCrew(2)
	l := s.farm(t, "a", c)
	a, b := c.Devices[0], c.Devices[1]
	join := Must(l.Record(b.Key, b.ID, Morning, nil, c.First(1)))(t)
	if len(join[0].Seen) > 0 {
		t.Fatalf("joiner has seen %v", join[0].Seen)
	}
	c.Join(t, l, 0)
	c.Write(t, l, 0, Notes(4)...)
	write := func(seen chain.Frontier) entry.Entry {
		t.Helper()
		return Must(l.Record(b.Key, b.ID, Morning, seen, Note("x"), Note("y")))(t)[0]
	}
	fourth := entry.Mark{Log: a.ID.Log(), Seq: 4, Hash: entry.Brief{4}}
	if e := write(chain.Frontier{fourth, {Log: b.ID.Log(), Seq: 1}}); !reflect.DeepEqual(e.Seen, []entry.Mark{fourth}) {
		t.Errorf("seen %v", e.Seen)
	}
	if e := write(l.Frontier()); !reflect.DeepEqual(e.Seen, []entry.Mark{l.Frontier().Mark(a.ID.Log())}) {
		t.Errorf("seen %v", e.Seen)
	}
	if e := write(l.Frontier()); len(e.Seen) != 0 {
		t.Errorf("seen again %v", e.Seen)
	}
}
