package page_test

import (
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

// Each page of a phone whose date is far off says so, and what to do; and so does
// that of whoever has what it wrote. Other pages say nothing of clocks.
func TestAFarClockIsShown(t *testing.T) {
	ada := found(t, newHouse(t).FoundingAddress())
	var ahead atomic.Int64
	ben := joinAt(t, ada, "Ben", entry.Operator, func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) })
	owner := serve(t, ada, page.Options{})
	const set = "set date, time and time zone right"
	if strings.Contains(owner.get("/"), set) {
		t.Error("a clock is told before anything came")
	}
	ahead.Store(int64(49 * time.Hour))
	record(t, ben, &entry.Noted{Text: "the date is wrong"})
	meet(t, ben, ada)
	if got := serve(t, ben, page.Options{}).get("/"); !strings.Contains(got, "The clock here is 2 days ahead of the other&#39;s: "+set) {
		t.Error("Ben's own page does not say that his date is wrong")
	}
	if got := owner.get("/"); !strings.Contains(got, "last wrote 2 days ahead of the clock here: "+set) {
		t.Error("Ada's page does not say that Ben's date is wrong")
	}
}
