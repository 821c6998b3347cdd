package page

import (
	"cmp"
	"errors"
	"strings"
	"time"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Reach says in words what hinders this device from meeting the others now;
// empty where nothing does.
func (q *request) Reach() string {
	at, err := q.page.farm.Met()
	var said []string
	switch {
	case errors.Is(err, client.ErrBrokeOff):
		said = append(said, texts.Text("met.brokeoff"))
	case errors.Is(err, client.ErrAway):
		said = append(said, texts.Text("met.away"))
	case err != nil:
		said = append(said, cmp.Or(refusal(err), texts.Text("met.refused", err)))
	case at.IsZero() && q.page.farm.Server() == "":
		said = append(said, texts.Text("met.noserver"))
	}
	for _, f := range q.page.farm.FarClocks() {
		said = append(said, q.farClock(f))
	}
	return strings.Join(said, " ")
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
