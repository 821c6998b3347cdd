package chain

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/entry"
)

// shortLen is the bytes of a short name: the last ones of a device's name,
// which are random (RFC 9562, section 5.7).
const shortLen = 4

// Short is what a mark that stands under a short name calls its device.
type Short [shortLen]byte

// ShortOf is a device's short name.
func ShortOf(d entry.DeviceID) Short { return Short(d[len(d)-shortLen:]) }

// Device is the name under which a mark stands whose short name nobody has made
// whole yet: no device has it, as it is no UUID.
func (s Short) Device() (d entry.DeviceID) {
	copy(d[len(d)-shortLen:], s[:])
	return d
}

// short says whether a mark stands under its short name.
func short(m *Mark) bool { return m.Device == ShortOf(m.Device).Device() }

// Brief is the frontier under short names, by those. It is not ok where two
// devices share one.
func (f Frontier) Brief() (brief Frontier, ok bool) {
	brief = slices.Clone(f)
	for i := range brief {
		brief[i].Device = ShortOf(brief[i].Device).Device()
	}
	brief.sort()
	for i := 1; i < len(brief); i++ {
		if brief[i].Device == brief[i-1].Device {
			return nil, false
		}
	}
	return brief, true
}

// ErrShort reports a short name that two devices share.
var ErrShort = errors.New("chain: a short name is that of two devices")

// Whole gives the marks that stand under short names the names of the devices
// that known has. One that known has not stays as it is; one that it has twice
// gives ErrShort.
func (f Frontier) Whole(known Frontier) (Frontier, error) {
	if !slices.ContainsFunc(f, func(m Mark) bool { return short(&m) }) {
		return f, nil
	}
	names := slices.Clone(known)
	slices.SortFunc(names, func(a, b Mark) int { return compareShort(a.Device, b.Device) })
	out := slices.Clone(f)
	for i := range out {
		m := &out[i]
		at, found := slices.BinarySearchFunc(names, m.Device, func(n Mark, d entry.DeviceID) int { return compareShort(n.Device, d) })
		if !short(m) || !found {
			continue
		}
		if at+1 < len(names) && compareShort(names[at+1].Device, m.Device) == 0 {
			return nil, fmt.Errorf("%w: %s and %s", ErrShort, names[at].Device, names[at+1].Device)
		}
		m.Device = names[at].Device
	}
	out.sort()
	return out, nil
}

func compareShort(a, b entry.DeviceID) int {
	x, y := ShortOf(a), ShortOf(b)
	return bytes.Compare(x[:], y[:])
}

// Named is the frontier without marks that stand under short names.
func (f Frontier) Named() Frontier {
	return slices.DeleteFunc(slices.Clone(f), func(m Mark) bool { return short(&m) })
}
