package main

import (
	"slices"
	"time"

	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func hitchShow(k *call) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	h := d.Hitch
	lines := append([]string{}, hitchCautions...)
	list, _ := k.checklist(h.Checks)
	for i, it := range list.Items {
		lines = append(lines, checkLine(int64(i+1), it.Name, it.Required, k.signedBy(h, int64(i+1))))
	}
	return k.show(k.hitchAnswer(d), append(lines, k.readyLines(d.ID)...))
}

// signedBy is who signed a check of a hitch, and when.
func (k *call) signedBy(h farm.Hitch, item int64) string {
	for _, s := range h.Signed {
		if s.Item == item {
			return "signed by " + k.by(s.By, s.On) + ", " + k.clock(s.Wall)
		}
	}
	return "not signed"
}

func (k *call) hitchAnswer(d farm.Drill) answer.Hitch {
	h := d.Hitch
	a := answer.Hitch{Drill: d.Name, Ready: h.Ready, Missing: append([]string{}, h.Missing...), Holds: k.holds(h.Holds), Waiting: k.holds(h.Strangers), Late: k.holds(h.Late),
		Signed: []answer.Check{}, Unsigned: k.unsigned(h), Tractor: h.Tractor, Version: h.Version, New: append([]string{}, h.New...),
		Released: k.holds(h.Released), Met: k.metWall()}
	for _, s := range h.Signed {
		a.Signed = append(a.Signed, answer.Check{Entry: s.Entry.String(), Item: s.Item, Name: s.Name, Required: s.Required, By: k.view().NameOf(s.By), On: s.On.Device, Wall: wallText(s.Wall)})
	}
	return a
}

// unsigned are the checks of a hitch that nobody has signed.
func (k *call) unsigned(h farm.Hitch) []answer.ToSign {
	out := []answer.ToSign{}
	list, _ := k.checklist(h.Checks)
	for i, it := range list.Items {
		if n := int64(i + 1); !slices.ContainsFunc(h.Signed, func(s farm.Signed) bool { return s.Item == n }) {
			out = append(out, answer.ToSign{Item: n, Name: it.Name, Required: it.Required})
		}
	}
	return out
}

func (k *call) holds(hs []farm.Hold) []answer.Hold {
	out := []answer.Hold{}
	for _, h := range hs {
		a := answer.Hold{Entry: h.Entry.String(), By: k.view().NameOf(h.By), On: h.On.Device, Why: h.Why, Wall: wallText(h.Wall)}
		if !h.Release.IsZero() {
			a.ReleasedBy, a.ReleasedOn = k.view().NameOf(h.ReleasedBy), h.ReleasedOn.Device
		}
		out = append(out, a)
	}
	return out
}

// readyLines say, from the farm as it stands now, whether a drill is ready and
// what stands against it. What a check does not say, it does not promise.
func (k *call) readyLines(id entry.ID) []string {
	d, _ := k.farm.View().DrillOf(id)
	var lines []string
	for _, h := range d.Hitch.Holds {
		lines = append(lines, "HOLD  "+h.Why+" ("+k.by(h.By, h.On)+", "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, h := range d.Hitch.Strangers {
		lines = append(lines, "HOLD  "+h.Why+" ("+k.deviceNamed(h.Entry.Device)+", which waits to be let in: turnrow crew, "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, h := range d.Hitch.Late {
		lines = append(lines, "late hold  "+h.Why+" ("+k.deviceNamed(h.Entry.Device)+" after it was stopped: it stops nothing, "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, m := range d.Hitch.Missing {
		lines = append(lines, "missing: "+m)
	}
	if d.Hitch.Ready {
		return append(lines, "READY: every required check is signed and no hold is open, "+k.knows()+".")
	}
	return append(lines, "NOT READY")
}

// by is who wrote something, and on whose device where that is another's.
func (k *call) by(who entry.ID, on farm.On) string {
	return k.view().NameOf(who) + k.view().OnText(on)
}

// knows says how far anything is known here that another device may contradict.
func (k *call) knows() string {
	at, _ := k.farm.Met()
	return sheet.Knows(k.view(), k.farm.Device(), at, time.Now())
}

// metWall is when this device last exchanged with another, for programs; nil
// for never.
func (k *call) metWall() *string {
	at, _ := k.farm.Met()
	if at.IsZero() {
		return nil
	}
	wall := wallText(at.UnixMilli())
	return &wall
}

// timeFormat is how programs get a time.
const timeFormat = time.RFC3339

// wallText is a device's own clock, for programs.
func wallText(ms int64) string { return time.UnixMilli(ms).UTC().Format("2006-01-02T15:04:05.000Z") }

// clock is a device's own clock, for people, in the farm's time zone: with the
// year where that is another than this.
func (k *call) clock(ms int64) string { return clockText(time.UnixMilli(ms), time.Now(), k.zone()) }

func clockText(at, now time.Time, zone *time.Location) string {
	at, now = at.In(zone), now.In(zone)
	if at.Year() != now.Year() {
		return at.Format("Mon 2 Jan 2006 15:04")
	}
	return at.Format("Mon 2 Jan 15:04")
}
