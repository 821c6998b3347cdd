package syncer

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"turnrow/sync/exchange"
)

// The pace of the loop.
const (
	// firstWait and longestWait bound the wait after a failure: it doubles from
	// the one to the other. A minute is what a person waits for by the gate.
	firstWait   = time.Second
	longestWait = time.Minute
	// soonest is the wait that a new entry cuts a longer one down to: who has
	// just noted something is perhaps in range again.
	soonest = 5 * time.Second
	// settled is how often to exchange where nothing seems to be missing: the
	// watch may have missed something.
	settled = 10 * time.Minute
	// newsAMinute is the exchanges in a minute that the other's news may lead to
	// at once: more than a crew writes, and few enough for a battery where the
	// other says without end that it has something new.
	newsAMinute = 120
)

// Loop exchanges in the background: at once when there is something new on
// either side or when the network is back, and after failures with a wait that
// grows and varies.
type Loop struct {
	Sync func(ctx context.Context) error
	// Watch calls hear when the other has something new. It returns when it
	// can hear no more. Nil is no watch.
	Watch func(ctx context.Context, hear func()) error
	// Owes says whether there are entries here that the other lacks.
	Owes func() bool
	// Changed gives a channel that is closed at the next new entry here.
	Changed func() <-chan struct{}
	// Back tells that the network is back. Nil is never.
	Back <-chan struct{}
	// Hurry tells of a new entry here that must not wait, as a hold: it goes out at
	// once, whatever the loop waits for or does, and whatever the other asked for.
	// Nil is never.
	Hurry <-chan struct{}
	// Urgent says whether such an entry is still here alone: as long as it is, no
	// wait is longer than after a new entry. Nil is never.
	Urgent func() bool
	// Chance gives a number from 0 up to n-1.
	Chance func(n int64) int64
	Logger *slog.Logger

	failures int           // exchanges that failed in a row
	news     chan struct{} // the other has something new
	deaf     chan struct{} // the watch has ended
	watching bool
	heard    time.Time // when the watch began
	lost     int       // watches that soon ended, in a row
	quiet    time.Time // until when no watch begins
	minute   time.Time // when the minute began that newsIn counts
	newsIn   int
}

// Run exchanges until the context ends, and waits for what it started.
func (l *Loop) Run(ctx context.Context) {
	l.news, l.deaf = make(chan struct{}, 1), make(chan struct{}, 1)
	for ctx.Err() == nil {
		changed := l.Changed()
		late, err := l.exchange(ctx)
		if ctx.Err() != nil {
			break
		}
		if late && l.urgent() {
			continue
		}
		if err != nil {
			l.failures++
			l.Logger.Info("exchange failed", "err", err, "failures", l.failures)
			l.afterFailure(ctx, err, changed)
			continue
		}
		l.failures = 0
		l.listen(ctx)
		l.untilNews(ctx, changed)
	}
	if l.watching {
		<-l.deaf
	}
}

// listen starts the watch where none is on.
func (l *Loop) listen(ctx context.Context) {
	if l.Watch == nil || l.watching || time.Now().Before(l.quiet) {
		return
	}
	l.watching, l.heard = true, time.Now()
	go func() {
		err := l.Watch(ctx, func() { signal(l.news) })
		l.Logger.Debug("watch ended", "err", err)
		signal(l.deaf)
	}()
}

// untilNews waits until there is a reason to exchange: something new on either
// side since changed was asked for, the network back, or time gone by.
func (l *Loop) untilNews(ctx context.Context, changed <-chan struct{}) {
	wait := settled
	if l.Owes() {
		wait = soonest // the exchange went well and left something: not in a tight loop
	}
	timer := time.NewTimer(l.spread(wait))
	defer timer.Stop()
	news := l.news
	for {
		select {
		case <-changed:
			if l.Owes() {
				return
			}
			changed = l.Changed()
		case <-l.deaf:
			timer.Reset(l.deafened())
		case <-news:
			if !l.tooMuch() {
				return
			}
			news = nil // all of it at once, a little later
			timer.Reset(l.spread(soonest))
		case <-l.Back:
			return
		case <-l.Hurry:
			return
		case <-timer.C:
			return
		case <-ctx.Done():
			return
		}
	}
}

// tooMuch counts the other's news, and says whether it is more than can be.
func (l *Loop) tooMuch() bool {
	if time.Since(l.minute) >= time.Minute {
		l.minute, l.newsIn = time.Now(), 0
	}
	l.newsIn++
	return l.newsIn > newsAMinute
}

// deafened notes that the watch has ended, and gives the wait before the next.
// The link may be gone, or the server may have sent everybody away at once.
func (l *Loop) deafened() time.Duration {
	l.watching = false
	if time.Since(l.heard) > longestWait {
		l.lost = 0
	}
	l.lost++
	d := l.backoff(l.lost)
	l.quiet = time.Now().Add(d)
	return d
}

// afterFailure waits before the next try: longer each time, at least as long
// as the other asked for, and no longer once the network is back.
func (l *Loop) afterFailure(ctx context.Context, err error, changed <-chan struct{}) {
	least := retryAfter(err)
	wait := l.backoff(l.failures)
	if l.urgent() {
		wait = min(wait, soonest)
	}
	end := time.Now().Add(max(least, wait))
	early := time.Now().Add(max(least, soonest))
	timer := time.NewTimer(time.Until(end))
	defer timer.Stop()
	for {
		select {
		case <-timer.C:
			return
		case <-changed:
			changed = nil // once is enough
			if early.Before(end) {
				timer.Reset(time.Until(early))
			}
		case <-l.Back:
			if least == 0 {
				return
			}
		case <-l.Hurry:
			return
		case <-ctx.Done():
			return
		}
	}
}

// backoff is the wait after so many failures in a row: it doubles, up to
// longestWait, and is spread so that devices that failed together do not come
// back together.
func (l *Loop) backoff(failures int) time.Duration {
	d := firstWait << min(failures-1, 10)
	return l.spread(min(d, longestWait))
}

// spread is between half of d and d.
func (l *Loop) spread(d time.Duration) time.Duration {
	return d/2 + time.Duration(l.Chance(int64(d/2)))
}

// retryAfter is the wait that the other asked for; 0 where it did not.
func retryAfter(err error) time.Duration {
	var f *exchange.Failure
	if errors.As(err, &f) {
		return time.Duration(f.Retry) * time.Millisecond
	}
	return 0
}

// signal fills a channel that holds one, if it is empty.
func signal(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}
