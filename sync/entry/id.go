package entry

import (
	"bytes"
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/google/uuid"
)

// FarmID names a farm: a UUID made from the founding device and its key, see
// [FoundedBy].
type FarmID [16]byte

// DeviceID names a device: a UUID (version 7) that the device made itself.
type DeviceID [16]byte

// LogID names a log. What a device writes is a log of the device's own name, see
// [DeviceID.Log]. Where that forks, each branch has a name of its own, made from
// its first entry (chain.Branch): a UUID of version 8.
type LogID [16]byte

// Log is the device's own log: all that it writes, or, where that forks, what its
// branches share.
func (d DeviceID) Log() LogID { return LogID(d) }

// Device is the device whose own log this is. A branch is signed by a device that
// its name does not tell: what is given for one is a device's only where the branch
// has a first entry of its own, which the crew counts as a device of its own.
func (l LogID) Device() DeviceID { return DeviceID(l) }

// IsBranch says whether the log is a branch, by its name, and not a device's own.
func (l LogID) IsBranch() bool { return l[verOffset]&^verMask == uuidV8 }

// ID names an entry, for good: the log that it stands in and its number there,
// from 1. It also names the thing (a box, a lot, a person) that the entry first
// set. The zero ID names nothing.
type ID struct {
	Log LogID
	Seq uint64
}

// String is the farm's UUID in its usual form.
func (f FarmID) String() string { return uuid.UUID(f).String() }

// String is the device's UUID in its usual form.
func (d DeviceID) String() string { return uuid.UUID(d).String() }

// String is the name as a UUID in its usual form.
func (l LogID) String() string { return uuid.UUID(l).String() }

// Brief is the first bytes of the hash of a device's log at an entry: enough to
// tell one branch of a forked log from another.
type Brief [8]byte

// Mark names a place in a log for good: the log, the number of an entry, and the
// chain's hash there. A number alone means two things once a log forks.
type Mark struct {
	Log  LogID
	Seq  uint64
	Hash Brief
}

// ID is the entry that the mark names, whichever branch it is on.
func (m Mark) ID() ID { return ID{m.Log, m.Seq} }

// IsZero says whether the mark names nothing.
func (m Mark) IsZero() bool { return m.Seq == 0 }

// IsZero says whether the farm is unset.
func (f FarmID) IsZero() bool { return f == FarmID{} }

// IsZero says whether the device is unset.
func (d DeviceID) IsZero() bool { return d == DeviceID{} }

// IsZero says whether the log is unset.
func (l LogID) IsZero() bool { return l == LogID{} }

// Compare orders devices by their bytes.
func (d DeviceID) Compare(o DeviceID) int { return bytes.Compare(d[:], o[:]) }

// Compare orders logs by the bytes of their names.
func (l LogID) Compare(o LogID) int { return bytes.Compare(l[:], o[:]) }

// IsZero says whether the ID names nothing.
func (id ID) IsZero() bool { return id.Seq == 0 }

// Compare orders IDs by log, then by number.
func (id ID) Compare(o ID) int {
	if c := id.Log.Compare(o.Log); c != 0 {
		return c
	}
	return cmp.Compare(id.Seq, o.Seq)
}

// String is the log's name, a slash and the number.
func (id ID) String() string {
	return id.Log.String() + "/" + strconv.FormatUint(id.Seq, 10)
}

// Short is a form for people: the last six digits of the log's name, a slash and the number. It may name more than one entry of a farm.
func (id ID) Short() string {
	s := id.Log.String()
	return s[len(s)-6:] + "/" + strconv.FormatUint(id.Seq, 10)
}

// ParseFarm reads a farm's UUID.
func ParseFarm(s string) (FarmID, error) {
	u, err := uuid.Parse(s)
	if err != nil {
		return FarmID{}, fmt.Errorf("entry: farm %q is not a UUID: %w", s, err)
	}
	return FarmID(u), nil
}

// ParseDevice reads a device's UUID.
func ParseDevice(s string) (DeviceID, error) {
	u, err := uuid.Parse(s)
	if err != nil {
		return DeviceID{}, fmt.Errorf("entry: device %q is not a UUID: %w", s, err)
	}
	return DeviceID(u), nil
}

// ParseID reads the form that [ID.String] writes.
func ParseID(s string) (ID, error) {
	dev, num, ok := strings.Cut(s, "/")
	if !ok {
		return ID{}, fmt.Errorf("entry: %q is not an entry: want DEVICE/NUMBER", s)
	}
	d, err := ParseDevice(dev)
	if err != nil {
		return ID{}, err
	}
	n, err := strconv.ParseUint(num, 10, 64)
	if err != nil || n == 0 {
		return ID{}, fmt.Errorf("entry: %q is not an entry: the number starts at 1", s)
	}
	return ID{d.Log(), n}, nil
}
