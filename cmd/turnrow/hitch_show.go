package main

import (
	"time"

	"turnrow/client/sheet"
	"turnrow/client/words"
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
	return k.show(k.report().Hitch(d), append(lines, k.readyLines(d.ID)...))
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

// readyLines say, from the farm as it stands now, whether a drill is ready and
// what stands against it. What a check does not say, it does not promise.
func (k *call) readyLines(id entry.ID) []string {
	d, _ := k.farm.View().DrillOf(id)
	var lines []string
	for _, h := range d.Hitch.Holds {
		lines = append(lines, "HOLD  "+h.Why+" ("+k.by(h.By, h.On)+", "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
		if seen := words.Seen(k.view(), &h, k.hour); seen != "" {
			lines = append(lines, "      "+seen)
		}
	}
	for _, h := range d.Hitch.Strangers {
		lines = append(lines, "HOLD  "+h.Why+" ("+k.deviceNamed(h.Entry.Log.Device())+", which waits to be let in: turnrow crew, "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, h := range d.Hitch.Late {
		lines = append(lines, "late hold  "+h.Why+" ("+k.deviceNamed(h.Entry.Log.Device())+" after it was stopped: it stops nothing, "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, m := range words.Of(k.view()).Missing(d.Hitch.Missing) {
		lines = append(lines, "missing: "+m)
	}
	if d.Hitch.Ready {
		return append(lines, "READY: every required check is signed and no hold is open, "+k.knows()+".")
	}
	return append(lines, "NOT READY")
}

// by is who wrote something, and on whose device where that is another's.
func (k *call) by(who entry.ID, on farm.On) string {
	return k.view().NameOf(who) + words.On(k.view(), on)
}

// knows says how far anything is known here that another device may contradict.
func (k *call) knows() string {
	at, _ := k.farm.Met()
	return sheet.Knows(k.view(), k.farm.Device(), at, time.Now())
}

// timeFormat is how programs get a time.
const timeFormat = time.RFC3339

// hour is clock, of today by the hour alone.
func (k *call) hour(ms int64) string {
	at, now := time.UnixMilli(ms).In(k.zone()), time.Now().In(k.zone())
	if sheet.DayOf(at) == sheet.DayOf(now) {
		return at.Format("15:04")
	}
	return clockText(at, now, k.zone())
}

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
