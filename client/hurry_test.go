package client

import (
	"errors"
	"runtime/debug"
	"testing"

	"turnrow/sync/chain"
)

// collecting is the collector's setting, left as it is.
func collecting() int {
	now := debug.SetGCPercent(100)
	debug.SetGCPercent(now)
	return now
}

// While a long record opens the collector comes less often, unless the program
// wants it even rarer, and afterwards it is as it was.
func TestCollectorIsPutOffOnlyWhileALongRecordOpens(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	failed := errors.New("no such record")
	for _, try := range []struct {
		entries        uint64
		before, during int
	}{
		{hurriedFrom - 1, 100, 100}, {hurriedFrom, 100, hurriedPercent}, {hurriedFrom, 50, hurriedPercent},
		{hurriedFrom, 1000, 1000}, {hurriedFrom, -1, -1},
	} {
		debug.SetGCPercent(try.before)
		var during, within int
		to := chain.Frontier{{Seq: try.entries / 2}, {Seq: try.entries - try.entries/2}}
		err := hurried(to, func(long bool) error {
			if long != (try.entries >= hurriedFrom) {
				t.Errorf("%d entries are long: %v", try.entries, long)
			}
			during = collecting()
			_ = hurried(to, func(bool) error { within = collecting(); return nil })
			return failed
		})
		if after := collecting(); during != try.during || within != try.during || after != try.before || !errors.Is(err, failed) {
			t.Errorf("%+v: %d, %d within, then %d, error %v", try, during, within, after, err)
		}
	}
}
