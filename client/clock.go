package client

import (
	"time"

	"turnrow/sync/entry"
)

// FarOff is how far a clock may stand from another's before people are told.
const FarOff = 2 * time.Hour

// FarClock is a device whose date or time seems to be wrong.
type FarClock struct {
	Device entry.DeviceID // this one's own where it seems to be that
	Ahead  time.Duration  // of what the others say; negative is behind
}

// LongTime is a time to the nearest whole hour, or, from two days on, to the
// nearest whole day.
func LongTime(d time.Duration) (n int, days bool) {
	const day = 24 * time.Hour
	if h := int(d.Round(time.Hour) / time.Hour); h < 48 {
		return h, false
	}
	return int(d.Round(day) / day), true
}

// FarClocks are the devices whose clocks are far off, as far as is known here:
// this one's, by whom it last exchanged with or by what two others wrote last; and
// others', by what they wrote last, where that is yet to come. Nothing follows from
// it but that people look: clocks decide nothing.
func (f *Farm) FarClocks() []FarClock {
	met := f.apart.Load()
	if met != nil && met.Abs() >= FarOff {
		return []FarClock{{f.Device(), -*met}}
	}
	ahead := f.aheadOf(f.now())
	if met == nil && len(ahead) > 1 { // nobody with a clock of its own said otherwise
		least := ahead[0].Ahead
		for _, a := range ahead {
			least = min(least, a.Ahead)
		}
		return []FarClock{{f.Device(), -least}}
	}
	return ahead
}

// aheadOf are the other devices of the farm that last wrote well after now.
func (f *Farm) aheadOf(now time.Time) (ahead []FarClock) {
	own := f.Device()
	for _, d := range f.Devices() {
		if !d.Joined || d.Stopped || d.ID == own {
			continue
		}
		if l, ok := f.Line(d.Last.ID()); ok {
			if off := time.UnixMilli(l.Wall).Sub(now); off >= FarOff {
				ahead = append(ahead, FarClock{d.ID, off})
			}
		}
	}
	return ahead
}

// hearsClock notes how far ahead the clock of another is, with whom this device
// has exchanged.
func (f *Farm) hearsClock(ahead time.Duration) { f.apart.Store(&ahead) }
