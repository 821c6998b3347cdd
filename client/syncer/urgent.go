package syncer

import (
	"context"
	"time"
)

// grace is how long an exchange goes on that was under way when something came
// that must not wait: enough for one that moves to end, so that the next is not
// delayed by a new connection.
const grace = 2 * time.Second

// exchange is one exchange. Where something comes meanwhile that must not wait,
// one that does not end soon is broken off: it may hang on a link that is gone,
// or move a day's notes first. Late says that it was.
func (l *Loop) exchange(ctx context.Context) (late bool, err error) {
	if l.Hurry == nil {
		return false, l.Sync(ctx)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- l.Sync(ctx) }()
	select {
	case err := <-done:
		return false, err
	case <-l.Hurry:
	}
	timer := time.NewTimer(grace)
	defer timer.Stop()
	select {
	case err = <-done:
	case <-timer.C:
		stop()
		err = <-done
	}
	return true, err
}

// urgent says whether something waits here that must not.
func (l *Loop) urgent() bool { return l.Urgent != nil && l.Urgent() }
