package page

import (
	"errors"
	"time"

	"turnrow/client"
)

// Met says in words when this device last met another, and whether it can
// reach the others now.
func (q *request) Met() string {
	at, err := q.page.client.Met()
	text := words.text("met.never")
	switch {
	case !at.IsZero():
		text = words.text("met.at", q.Clock(at.UnixMilli()), ago(q.now().Sub(at)))
	case q.page.client.Server() == "":
		text = words.text("met.noserver")
	}
	switch {
	case errors.Is(err, client.ErrAway):
		text += " " + words.text("met.away")
	case err != nil:
		text += " " + words.text("met.refused", err)
	}
	return text
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
