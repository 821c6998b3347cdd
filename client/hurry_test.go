package client

import (
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
		hurried(to, func() {
			during = collecting()
			hurried(to, func() { within = collecting() })
		})
		if after := collecting(); during != try.during || within != try.during || after != try.before {
			t.Errorf("%+v: %d, %d within, then %d", try, during, within, after)
		}
	}
}
