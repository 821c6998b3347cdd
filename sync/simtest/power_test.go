//go:build !js

package simtest_test

import (
	"math/rand/v2"
	"testing"

	"turnrow/sync/simtest"
)

// TestSchedulesOnRealStores runs a share of the schedules with real stores in
// some places, whose power goes at any write.
func TestSchedulesOnRealStores(t *testing.T) {
	n := *schedules
	if n == 0 {
		n = usual
	}
	o := simtest.Options{Disks: realDisks}
	report(t, failing(uint64(max(n/16, 1)), o), realDisks(rand.New(rand.NewPCG(1, 1))))
}
