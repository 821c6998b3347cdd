package entry

import (
	"fmt"

	"turnrow/sync/units"
)

// StandCounted is a count of plants that came up, in frames of one size or
// lengths of row.
type StandCounted struct {
	Ground  ID
	Frame   units.Area   // 0 where Row says it
	Row     units.Length // length of row counted; 0 where Frame says it
	Spacing units.Length // between rows, with Row
	Counts  []SpeciesCount
	Day     int64 // days since 1970
	Note    string
}

// SpeciesCount is one species' plants, a number for each frame.
type SpeciesCount struct {
	Species string // "" for all together
	Plants  []int64
}

// Kind of the body.
func (*StandCounted) Kind() Kind { return KindStandCounted }

// Fields of the body.
func (b *StandCounted) Fields(f Fields) {
	f.Ref(1, &b.Ground)
	f.Int(2, (*int64)(&b.Frame))
	f.Int(3, (*int64)(&b.Row))
	f.Int(4, (*int64)(&b.Spacing))
	f.Group(5, len(b.Counts), func() { b.Counts = append(b.Counts, SpeciesCount{}) }, func(i int, f Fields) {
		c := &b.Counts[i]
		f.Text(1, &c.Species)
		f.Ints(2, len(c.Plants), func() { c.Plants = append(c.Plants, 0) }, func(i int) *int64 { return &c.Plants[i] })
	})
	f.Int(6, &b.Day)
	f.Text(7, &b.Note)
}

// Check the body's ranges.
func (b *StandCounted) Check() error {
	if (b.Frame > 0) == (b.Row > 0) {
		return &RangeError{"frame", "not one figure", "a frame's area or a length of row"}
	}
	for _, c := range b.Counts {
		if err := c.check(); err != nil {
			return err
		}
	}
	return first(given("ground", b.Ground), between("frame", b.Frame, 0, maxArea), between("row", b.Row, 0, maxLength),
		between("row spacing", b.Spacing, 0, maxLength), between("species counted", len(b.Counts), 1, MaxList),
		between("day", b.Day, 0, maxDay), text("note", b.Note, MaxText))
}

func (c *SpeciesCount) check() error {
	if err := first(text("species", c.Species, MaxName), between("frames", len(c.Plants), 1, MaxList)); err != nil {
		return err
	}
	for i, n := range c.Plants {
		if err := between(fmt.Sprintf("frame %d's plants", i+1), n, 0, 1e6); err != nil {
			return err
		}
	}
	return nil
}
