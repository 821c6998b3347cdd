package rate

import (
	"errors"
	"strings"
	"testing"

	"turnrow/sync/units"
)

// 7 CFR 201.58, Table 2 (2015): tall fescue is first counted after 5 days, last
// after 14; white clover after 3 and 7.
func TestPublishedDaysToComeUp(t *testing.T) {
	for name, want := range map[string][2]int{"tall fescue": {5, 14}, "white clover": {3, 7}} {
		s, err := FindSpecies(name)
		if err != nil {
			t.Fatal(err)
		}
		first, last, source, ok := ComeUpDays(s)
		if !ok || first != want[0] || last != want[1] || !strings.Contains(source.Title, "201.58") {
			t.Errorf("%s: %d to %d, %v, %v; want %v", name, first, last, source, ok, want)
		}
	}
	withDays := 0
	for _, s := range AllSpecies() {
		first, last, _, ok := ComeUpDays(s)
		if !ok {
			continue
		}
		withDays++
		if _, err := ComeUpFrom(0, first, last); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
	}
	if withDays < 40 {
		t.Errorf("only %d species have days to come up", withDays)
	}
}

func TestLateAndNotYetLate(t *testing.T) {
	c, err := ComeUpFrom(100, 5, 14)
	if err != nil {
		t.Fatal(err)
	}
	if c != (ComeUp{First: 105, Last: 114, Late: 129}) {
		t.Errorf("got %v", c)
	}
	for day, want := range map[int64]Showing{100: TooSoon, 104: TooSoon, 105: NotYetLate, 114: NotYetLate, 128: NotYetLate, 129: Late} {
		if got := c.On(day); got != want {
			t.Errorf("day %d: %s, want %s", day, got, want)
		}
	}
}

func TestDaysThatAreRefused(t *testing.T) {
	for _, c := range [][3]int64{{latestDay + 1, 5, 14}, {-latestDay - 1, 5, 14}, {0, 0, 14}, {0, 5, 4}, {0, 5, 1001}} {
		if _, err := ComeUpFrom(c[0], int(c[1]), int(c[2])); !errors.Is(err, units.ErrRange) {
			t.Errorf("%v: %v", c, err)
		}
	}
}
