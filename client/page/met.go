package page

import (
	"cmp"
	"errors"
	"slices"
	"time"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Met says in words when this device last met another, and whether it can
// reach the others now.
func (q *request) Met() string {
	at, err := q.page.farm.Met()
	text := words.text("met.never")
	switch {
	case !at.IsZero():
		text = words.text("met.at", q.Clock(at.UnixMilli()), ago(q.now().Sub(at)))
	case q.page.farm.Server() == "":
		text = words.text("met.noserver")
	}
	switch {
	case errors.Is(err, client.ErrBrokeOff):
		text += " " + words.text("met.brokeoff")
	case errors.Is(err, client.ErrAway):
		text += " " + words.text("met.away")
	case err != nil:
		text += " " + cmp.Or(refusal(err), words.text("met.refused", err))
	}
	for _, f := range q.page.farm.FarClocks() {
		text += " " + q.farClock(f)
	}
	return text
}

// farClock says whose clock is far off, and what to do.
func (q *request) farClock(f client.FarClock) string {
	n, days := client.LongTime(f.Ahead.Abs())
	off := words.count("far.hours", n)
	if days {
		off = words.count("far.days", n)
	}
	switch {
	case f.Device != q.page.farm.Device():
		return words.text("far.other", q.DeviceName(entry.ID{Log: f.Device.Log()}), off)
	case f.Ahead > 0:
		return words.text("far.ahead", off)
	}
	return words.text("far.behind", off)
}

// Ready says what READY means here: that this device knows of nothing against
// it, and how far what it knows goes.
func (q *request) Ready() string {
	me := q.page.farm.Device()
	others := slices.ContainsFunc(q.View.Devices, func(d farm.Device) bool { return d.ID != me && d.Joined && !d.Stopped })
	at, _ := q.page.farm.Met()
	switch {
	case !others:
		return words.text("ready.alone")
	case at.IsZero():
		return words.text("ready.never")
	}
	return words.text("ready.met", ago(q.now().Sub(at)))
}

// On is the device of a line, and whose it is where it is not its writer's
// own.
func (q *request) On(l farm.Line) string {
	if l.On == (farm.On{}) {
		return l.Device
	}
	return words.text("line.whose", l.Device, q.View.NameOf(l.On.Whose))
}

// ago writes how long something is past, in its largest unit.
func ago(d time.Duration) string {
	const day = 24 * time.Hour
	switch {
	case d < time.Minute:
		return words.text("ago.now")
	case d < time.Hour:
		return words.count("ago.minutes", int(d/time.Minute))
	case d < day:
		return words.count("ago.hours", int(d/time.Hour))
	}
	return words.count("ago.days", int(d/day))
}
