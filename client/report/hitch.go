package report

import (
	"slices"
	"time"

	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/farm"
)

// Hitch is how the hitch of a drill stands.
func (r Report) Hitch(d farm.Drill) answer.Hitch {
	h := d.Hitch
	a := answer.Hitch{Drill: d.Name, Ready: h.Ready, Missing: append([]string{}, words.Of(r.View()).Missing(h.Missing)...), Holds: r.holds(h.Holds), Waiting: r.holds(h.Strangers), Late: r.holds(h.Late),
		Signed: []answer.Check{}, Unsigned: r.unsigned(h), Tractor: h.Tractor, Version: h.Version, New: append([]string{}, h.New...),
		Released: r.holds(h.Released), Met: r.Met()}
	for _, s := range h.Signed {
		a.Signed = append(a.Signed, answer.Check{Entry: s.Entry.String(), Item: s.Item, Name: s.Name, Required: s.Required, By: r.View().NameOf(s.By), On: s.On.Device, Wall: Wall(s.Wall)})
	}
	return a
}

// unsigned are the checks of a hitch that nobody has signed.
func (r Report) unsigned(h farm.Hitch) []answer.ToSign {
	out := []answer.ToSign{}
	list := r.checklist(h.Checks)
	for i, it := range list.Items {
		if n := int64(i + 1); !slices.ContainsFunc(h.Signed, func(s farm.Signed) bool { return s.Item == n }) {
			out = append(out, answer.ToSign{Item: n, Name: it.Name, Required: it.Required})
		}
	}
	return out
}

func (r Report) holds(hs []farm.Hold) []answer.Hold {
	out := []answer.Hold{}
	for _, h := range hs {
		a := answer.Hold{Entry: h.Entry.String(), By: r.View().NameOf(h.By), On: h.On.Device, Why: h.Why, Wall: Wall(h.Wall), Seen: r.seen(h.Seen), NotYet: []string{}}
		if !h.Release.IsZero() {
			a.ReleasedBy, a.ReleasedOn = r.View().NameOf(h.ReleasedBy), h.ReleasedOn.Device
		} else {
			a.NotYet = names(r.View().NotSeen(&h))
		}
		out = append(out, a)
	}
	return out
}

func (r Report) seen(all []farm.HoldSeen) []answer.Saw {
	out := []answer.Saw{}
	for _, by := range all {
		out = append(out, answer.Saw{Entry: by.Entry.String(), By: r.View().NameOf(by.Person), On: by.On.Device, Wall: Wall(by.Wall)})
	}
	return out
}

func names(people []farm.Member) []string {
	out := []string{}
	for _, m := range people {
		out = append(out, m.Name)
	}
	return out
}

// Met is when this device last exchanged with another, for programs; nil
// for never.
func (r Report) Met() *string {
	at, _ := r.Farm.Met()
	if at.IsZero() {
		return nil
	}
	wall := Wall(at.UnixMilli())
	return &wall
}

// Wall is a time by a device's clock, in ms since 1970, as programs get it: RFC
// 3339, to the millisecond.
func Wall(ms int64) string { return time.UnixMilli(ms).UTC().Format("2006-01-02T15:04:05.000Z") }
