package replica

import (
	"strings"
	"sync/atomic"
	"testing"
)

func TestAtOnceDoesEachOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 100} {
		did := make([]atomic.Int32, n)
		atOnce(n, func(i int) { did[i].Add(1) })
		for i := range did {
			if did[i].Load() != 1 {
				t.Errorf("%d of %d was done %d times", i, n, did[i].Load())
			}
		}
	}
}

// What panics does so where it can be recovered from, and says where it was.
func TestAtOncePanicsWithItsCaller(t *testing.T) {
	defer func() {
		if p, _ := recover().(string); !strings.Contains(p, "box of sand") || !strings.Contains(p, "atonce_test.go") {
			t.Errorf("recovered %q", p)
		}
	}()
	atOnce(5, func(i int) {
		if i == 3 {
			panic("box of sand")
		}
	})
	t.Error("went on after a panic")
}
