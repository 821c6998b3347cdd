//go:build !js

package simtest_test

import (
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
	check(t, uint64(max(n/16, 1)), simtest.Options{Disks: realDisks})
}
