package wire

import (
	"errors"
	"fmt"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// ErrMessage reports a message of the exchange whose parts have the wrong
// size or order.
var ErrMessage = fmt.Errorf("wire: %w", exchange.ErrMalformed)

func sized(what string, b []byte, size int) error {
	if len(b) != size {
		return fmt.Errorf("%w: %s of %d bytes, not %d", ErrMessage, what, len(b), size)
	}
	return nil
}

// Farm reads a farm's 16 bytes.
func Farm(b []byte) (entry.FarmID, error) {
	if err := sized("farm", b, 16); err != nil {
		return entry.FarmID{}, err
	}
	return entry.FarmID(b), nil
}

// Runs reads runs as they came. Their entries and signatures are unchecked.
func Runs(ms []*turnrowv1.Run) ([]entry.Run, error) {
	runs := make([]entry.Run, 0, len(ms))
	for _, m := range ms {
		r, err := Run(m)
		if err != nil {
			return nil, err
		}
		runs = append(runs, r)
	}
	return runs, nil
}

// Run reads one run, unchecked.
func Run(m *turnrowv1.Run) (entry.Run, error) {
	if err := errors.Join(sized("device", m.GetDevice(), 16), sized("signature", m.GetSignature(), 64)); err != nil {
		return entry.Run{}, err
	}
	return entry.Run{
		Device: entry.DeviceID(m.GetDevice()), First: m.GetFirst(),
		Entries: m.GetEntries(), Sig: entry.Signature(m.GetSignature()),
	}, nil
}

// RunsOut writes runs.
func RunsOut(runs []entry.Run) []*turnrowv1.Run {
	ms := make([]*turnrowv1.Run, 0, len(runs))
	for i := range runs {
		ms = append(ms, RunOut(&runs[i]))
	}
	return ms
}

// RunOut writes one run.
func RunOut(r *entry.Run) *turnrowv1.Run {
	return &turnrowv1.Run{Device: r.Device[:], First: r.First, Entries: r.Entries, Signature: r.Sig[:]}
}

// Frontier reads a frontier: its marks must be in order, one a device.
func Frontier(m *turnrowv1.Frontier) (chain.Frontier, error) {
	if len(m.GetMarks()) > entry.MaxDevices {
		return nil, fmt.Errorf("%w: %d devices in a frontier, %d at most", ErrMessage, len(m.GetMarks()), entry.MaxDevices)
	}
	f := make(chain.Frontier, 0, len(m.GetMarks()))
	for _, h := range m.GetMarks() {
		m, err := mark(h)
		if err != nil {
			return nil, err
		}
		f = append(f, m)
	}
	for i := 1; i < len(f); i++ {
		if f[i-1].Log.Compare(f[i].Log) < 0 {
			continue
		}
		return nil, fmt.Errorf("%w: frontier out of order", ErrMessage)
	}
	return f, nil
}

func mark(m *turnrowv1.Mark) (chain.Mark, error) {
	if err := errors.Join(sized("device", m.GetDevice(), 16), sized("hash", m.GetHash(), 8)); err != nil {
		return chain.Mark{}, err
	}
	return chain.Mark{Log: entry.LogID(m.GetDevice()), Seq: m.GetSeq(), Hash: [8]byte(m.GetHash())}, nil
}

func markOut(m *chain.Mark) *turnrowv1.Mark {
	return &turnrowv1.Mark{Device: m.Log[:], Seq: m.Seq, Hash: m.Hash[:]}
}

// FrontierOut writes a frontier.
func FrontierOut(f chain.Frontier) *turnrowv1.Frontier {
	m := &turnrowv1.Frontier{Marks: make([]*turnrowv1.Mark, 0, len(f))}
	for i := range f {
		m.Marks = append(m.Marks, markOut(&f[i]))
	}
	return m
}
