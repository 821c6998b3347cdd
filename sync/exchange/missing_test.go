package exchange_test

import (
	"errors"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// shelf is a log whose entries are all of one size, cut at each.
type shelf struct {
	front chain.Frontier
	size  int
	fork  map[entry.LogID]uint64 // devices whose marks have diverged, and from where to show it
	err   error
}

func (s shelf) Frontier() chain.Frontier { return s.front }

func (s shelf) Runs(log entry.LogID, from uint64, maxBytes int) ([]entry.Run, bool, error) {
	var runs []entry.Run
	for seq := from; seq <= s.front.Seq(log); seq++ {
		r := entry.Run{Device: log.Device(), First: seq, Entries: [][]byte{make([]byte, s.size)}}
		if maxBytes -= r.Size(); maxBytes < 0 && len(runs) > 0 {
			return runs, true, s.err
		}
		runs = append(runs, r)
	}
	return runs, false, s.err
}

func (s shelf) Diverged(m chain.Mark) (bool, uint64, error) {
	from, diverged := s.fork[m.Log]
	return diverged, from, nil
}

func front(seqs ...uint64) chain.Frontier {
	var f chain.Frontier
	for i, n := range seqs {
		f = f.With(chain.Mark{Log: entry.LogID{byte(i + 1)}, Seq: n})
	}
	return f
}

// got is how many entries of each device runs bring.
func got(runs []entry.Run, devices int) []int {
	n := make([]int, devices)
	for _, r := range runs {
		n[r.Device[0]-1] += len(r.Entries)
	}
	return n
}

func TestOwed(t *testing.T) {
	const each = 203 // bytes of a run of one entry of 100
	for _, c := range []struct {
		name       string
		ours, have chain.Frontier
		max        int
		want       []int
		more       bool
	}{
		{"nothing", front(3, 4), front(3, 4), 1000, []int{0, 0}, false},
		{"they have more", front(3, 4), front(9, 9), 1000, []int{0, 0}, false},
		{"all", front(3, 4), nil, 7 * each, []int{3, 4}, false},
		{"the rest", front(3, 4), front(1, 4), 1000, []int{2, 0}, false},
		{"shares alike", front(100, 100), nil, 10 * each, []int{5, 5}, true},
		{"a short log is not kept waiting by a long one", front(100, 2), nil, 10 * each, []int{8, 2}, true},
		{"one run at least", front(5, 5), nil, 1, []int{1, 0}, true},
		{"the last run", front(1, 0), nil, 1, []int{1, 0}, false},
	} {
		runs, more, err := exchange.Missing(shelf{front: c.ours, size: 100}, c.have, c.max)
		n := got(runs, 2)
		if err != nil || n[0] != c.want[0] || n[1] != c.want[1] || more != c.more {
			t.Errorf("%s: %v, more %t, error %v; want %v, %t", c.name, n, more, err, c.want, c.more)
		}
	}
}

// Asking again for what is left always ends, with each entry sent once.
func TestOwedComesToAnEnd(t *testing.T) {
	s := shelf{front: front(40, 3, 0, 17, 1), size: 50}
	for _, most := range []int{1, 200, 1000, 1 << 20} {
		var have chain.Frontier
		for rounds := 0; ; rounds++ {
			runs, more, err := exchange.Missing(s, have, most)
			if err != nil || rounds > 100 {
				t.Fatalf("%d bytes: round %d, error %v", most, rounds, err)
			}
			for _, r := range runs {
				if r.First != have.Seq(r.Device.Log())+1 {
					t.Fatalf("%d bytes: run from %d, they have %d", most, r.First, have.Seq(r.Device.Log()))
				}
				have = have.With(chain.Mark{Log: r.Device.Log(), Seq: r.Last()})
			}
			if !more {
				break
			}
		}
		if have.Entries() != s.front.Entries() {
			t.Errorf("%d bytes: it ended at %v", most, have)
		}
	}
}

// A fork is shown after all that is missing, whatever the bytes left; a known one
// is left out.
func TestOwedShowsAFork(t *testing.T) {
	s := shelf{front: front(9, 2), size: 100, fork: map[entry.LogID]uint64{{1}: 4}}
	runs, more, err := exchange.Missing(s, front(7, 1), 300)
	if n := got(runs, 2); err != nil || more || n[0] != 6 || n[1] != 1 {
		t.Errorf("%v, more %t, error %v", n, more, err)
	}
	s.fork[entry.LogID{1}] = 0
	runs, more, err = exchange.Missing(s, front(7, 1), 300)
	if n := got(runs, 2); err != nil || more || n[0] != 0 || n[1] != 1 {
		t.Errorf("known: %v, more %t, error %v", n, more, err)
	}
}

func TestOwedPassesOnTrouble(t *testing.T) {
	trouble := errors.New("no disk")
	if _, _, err := exchange.Missing(shelf{front: front(1), err: trouble}, nil, 10); !errors.Is(err, trouble) {
		t.Errorf("error %v", err)
	}
}

// Every reason stands for an error that amounts to it again, and every error
// of the wire comes back from its name as itself.
func TestReasonsAndFailuresGoThereAndBack(t *testing.T) {
	for r := exchange.ReasonOther; r <= exchange.ReasonStranger; r++ {
		if back := exchange.ReasonOf(r.Err()); back != r {
			t.Errorf("reason %d comes back as %d", r, back)
		}
	}
	for _, err := range []error{&chain.ForkError{}, chain.ErrSize, chain.ErrOther} {
		if exchange.ReasonOf(err) == exchange.ReasonOther {
			t.Errorf("%v has no reason", err)
		}
	}
	if r := exchange.Reason(99); !errors.Is(r.Err(), exchange.ErrRefused) {
		t.Errorf("an unknown reason is %v", r.Err())
	}
	for _, err := range []error{
		exchange.ErrToken, exchange.ErrTokenTime, exchange.ErrStranger, exchange.ErrForbidden, exchange.ErrStopped,
		exchange.ErrFounding, exchange.ErrInvite, exchange.ErrBound, exchange.ErrBusy, exchange.ErrStorage, exchange.ErrMalformed,
	} {
		_, reason, known := exchange.Coded(err)
		if !known || !errors.Is(exchange.Reasoned(reason), err) {
			t.Errorf("%v goes as %d and comes back as %v", err, reason, exchange.Reasoned(reason))
		}
	}
}
