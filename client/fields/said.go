package fields

import (
	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// The readers below read all fields of one thing that somebody did, but for the
// things that it is about: those a front end knows from where the fields stand,
// or finds by a [Finder]. Whether what was said can be written is for the
// intent to say.

// Counter is what the drill's counter showed, where somebody said.
func (r *Reader) Counter(field string) entry.Opt[units.Reading] {
	return Optional(r, field, units.ParseReading)
}

// Fill reads bags, mass, volume and heaped, reading and note. A mass or a
// volume stands in place of bags.
func (r *Reader) Fill() client.Fill {
	f := client.Fill{Heaped: r.Yes("heaped"), Reading: r.Counter("reading"), Note: r.Text("note")}
	f.Volume, f.VolumeIn = r.VolumeIn("volume")
	f.Mass, f.MassIn = r.MassIn("mass")
	if !r.Has("mass") && !r.Has("volume") {
		f.Bags = Read(r, "bags", units.ParseCount)
	}
	return f
}

// Drain reads mass, where and reading. Whether all was let out each front end
// asks in its own way.
func (r *Reader) Drain() client.Drain {
	d := client.Drain{Where: r.Text("where"), Reading: r.Counter("reading")}
	d.Mass, d.MassIn = r.MassIn("mass")
	return d
}

// Level reads mass or share, reading and note. In a form, whose field has a per
// cent sign, a mass stands in place of a share, and 0.5 is half of one per cent.
func (r *Reader) Level() client.Level {
	l := client.Level{Reading: r.Counter("reading"), Note: r.Text("note")}
	if r.Has("mass") {
		l.Mass.Set = true
		l.Mass.Val, l.MassIn = r.MassIn("mass")
	}
	switch {
	case !r.Labelled:
		l.Share = Optional(r, "share", units.ParseShare, units.Fraction())
	case !l.Mass.Set:
		l.Share = Optional(r, "share", units.ParseShare)
	}
	return l
}

// Weigh reads volume, heaped and mass.
func (r *Reader) Weigh() client.Weigh {
	w := client.Weigh{Heaped: r.Yes("heaped")}
	w.Volume, w.VolumeIn = r.VolumeIn("volume")
	w.Mass, w.MassIn = r.MassIn("mass")
	return w
}

// Dial reads a setting as it stands on a side's dial of a box.
func (r *Reader) Dial(field string, b farm.Box, side int64) units.Dial {
	return Read(r, field, func(text string, opts ...units.Option) (units.Dial, error) {
		return b.ReadDial(side, text, opts...)
	})
}

// Catch reads what was caught, but for the run, the dial and the way: caught
// and the row masses in their own field, which rows or rows or width,
// resolution, reading and note.
func (r *Reader) Catch(rowMasses string) client.Catch {
	var c client.Catch
	c.Resolution, c.Reading, c.Note = r.Grams("resolution"), r.Counter("reading"), r.Text("note")
	c.RowNumbers, c.Rows = r.Rows("which"), r.Whole("rows")
	c.Width, c.WidthIn = r.LengthIn("width")
	c.Masses, c.MassIn = r.Caught("caught")
	if rows, in := r.RowMasses(rowMasses); len(rows) > 0 {
		c.RowMasses, c.MassIn = rows, in // which the sum of the rows is shown in
	}
	return c
}

// Spot reads at and within, length, width, row and text.
func (r *Reader) Spot(what entry.PinnedWhat) client.Spot {
	var s client.Spot
	s.What = what
	s.Latitude, s.Longitude = r.Place("at")
	s.Accuracy = Read(r, "within", units.ParseLength, units.Bare("m"))
	s.Length, s.LengthIn = r.LengthIn("length")
	s.Width, s.WidthIn = r.LengthIn("width")
	s.Row, s.Text = r.Row("row"), r.Text("text")
	if s.Accuracy < 0 || s.Accuracy > entry.MaxAccuracy {
		r.Refuse("within", &entry.RangeError{Field: "it", Value: r.Text("within"), Want: "0 m to 100 km"})
	}
	return s
}

// Want reads bags or mass, gate and note. A mass stands in place of bags.
func (r *Reader) Want() client.Want {
	var w client.Want
	w.Mass, w.MassIn = r.MassIn("mass")
	if !r.Has("mass") {
		w.Bags = Read(r, "bags", units.ParseCount)
	}
	w.Gate, w.Note = r.Text("gate"), r.Text("note")
	return w
}

// Stand reads frame, or row and spacing; counts, species and note.
func (r *Reader) Stand() client.Stand {
	var s client.Stand
	s.Frame, s.Row, s.Spacing, s.Note = r.Frame("frame"), r.Length("row"), r.Spacing("spacing"), r.Text("note")
	s.Counts = []entry.SpeciesCount{{Species: r.Text("species"), Plants: r.Wholes("counts")}}
	return s
}
