package page

import (
	"cmp"
	"errors"
	"slices"
	"time"
	"turnrow/client/words"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Met says in words when this device last met another, and whether it can
// reach the others now.
func (q *request) Met() string {
	at, err := q.page.farm.Met()
	text := texts.Text("met.never")
	switch {
	case !at.IsZero():
		text = texts.Text("met.at", q.Clock(at.UnixMilli()), ago(q.now().Sub(at)))
	case q.page.farm.Server() == "":
		text = texts.Text("met.noserver")
	}
	switch {
	case errors.Is(err, client.ErrBrokeOff):
		text += " " + texts.Text("met.brokeoff")
	case errors.Is(err, client.ErrAway):
		text += " " + texts.Text("met.away")
	case err != nil:
		text += " " + cmp.Or(refusal(err), texts.Text("met.refused", err))
	}
	for _, f := range q.page.farm.FarClocks() {
		text += " " + q.farClock(f)
	}
	return text
}

// farClock says whose clock is far off, and what to do.
func (q *request) farClock(f client.FarClock) string {
	n, days := client.LongTime(f.Ahead.Abs())
	off := texts.Count("far.hours", n)
	if days {
		off = texts.Count("far.days", n)
	}
	switch {
	case f.Device != q.page.farm.Device():
		return texts.Text("far.other", q.DeviceName(entry.ID{Log: f.Device.Log()}), off)
	case f.Ahead > 0:
		return texts.Text("far.ahead", off)
	}
	return texts.Text("far.behind", off)
}

// Ready says what READY means here: that this device knows of nothing against
// it, and how far what it knows goes.
func (q *request) Ready() string {
	me := q.page.farm.Device()
	others := slices.ContainsFunc(q.View.Devices, func(d farm.Device) bool { return d.ID != me && d.Joined && !d.Stopped })
	at, _ := q.page.farm.Met()
	switch {
	case !others:
		return texts.Text("ready.alone")
	case at.IsZero():
		return texts.Text("ready.never")
	}
	return texts.Text("ready.met", ago(q.now().Sub(at)))
}

// On is the device of a line, and whose it is where it is not its writer's
// own.
func (q *request) On(l words.Line) string {
	if l.On == (farm.On{}) {
		return l.Device
	}
	return texts.Text("line.whose", l.Device, q.View.NameOf(l.On.Whose))
}

// ago writes how long something is past, in its largest unit.
func ago(d time.Duration) string {
	const day = 24 * time.Hour
	switch {
	case d < time.Minute:
		return texts.Text("ago.now")
	case d < time.Hour:
		return texts.Count("ago.minutes", int(d/time.Minute))
	case d < day:
		return texts.Count("ago.hours", int(d/time.Hour))
	}
	return texts.Count("ago.days", int(d/day))
}
