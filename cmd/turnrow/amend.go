package main

import (
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

func newAmendCommand(g *globals) *cobra.Command {
	c := task{
		use: "amend NOTE [--mass M] [--lot L] ..", short: "Correct a note: what is given changes, the rest stays",
		long: `Correct a note: what is given changes, the rest stays as it was. The original
stays in the log, with who amended it, when and why. What is set from a file is
set again instead.`,
		example: `  turnrow amend 4f2a1c/12 --bags 2 --why "counted the empty bags"
  turnrow amend 4f2a1c/14 --reading 123.9 --why "misread"
  turnrow amend 4f2a1c/15 --text "rows 7 and 8 plugged, not 6"`,
		args:  exactly(1),
		flags: amendFlags,
		work:  amend,
	}.command(g)
	g.completeFlags(c, map[string]names{"box": boxNames, "lot": lotNames, "ground": groundNames})
	return c
}

func amendFlags(f *pflag.FlagSet) {
	f.String("why", "", "why")
	for _, flag := range [][2]string{
		{"box", "the seed box"}, {"side", "its compartment"}, {"lot", "the seed lot"}, {"mass", "mass poured, let out, seen or wanted"},
		{"bags", "bags poured or wanted"}, {"share", "share of full"}, {"dial", "the dial"}, {"turns", "turns of the wheel"},
		{"distance", "distance driven"}, {"rows", "rows caught"}, {"caught", "mass caught"}, {"row-masses", "masses row by row"},
		{"resolution", "the scale's smallest step"}, {"reading", "what the drill's counter showed"}, {"ground", "the piece of ground"},
		{"frame", "area of the frame"}, {"counts", "plants in each frame"}, {"text", "the text of a note or a spot"}, {"note", "what else there is to say"},
		{"where", "where the seed went"}, {"length", "length of a spot"}, {"width", "width of a spot"}, {"row", "row of the drill"},
		{"gate", "where to bring what is wanted"},
	} {
		f.String(flag[0], "", flag[1])
	}
	volumeFlags(f)
}

func amend(k *call) error {
	id, err := k.entryNamed(k.args[0])
	if err != nil {
		return err
	}
	l, err := k.line(id)
	if err != nil {
		return err
	}
	a := amender{call: k}
	body := a.changed(l)
	if err := a.unused(&l); body != nil && err != nil {
		return err
	}
	return k.wrote(client.Amend{Entry: id, Body: body, Why: k.Text("why")})
}

// amender changes a body by the flags that are given, and keeps which of them
// the body took.
type amender struct {
	*call
	took []string
	err  error
}

// changed is what an entry stands for, changed; nil where it is not amended.
func (a *amender) changed(l words.Line) entry.Body {
	if l.Now == nil || l.Kind > entry.LastKind || amends[l.Kind].change == nil {
		return nil
	}
	return amends[l.Kind].change(a, l.Now)
}

// takes says whether a flag was given, and notes that the body has it.
func (a *amender) takes(flag string) bool {
	a.took = append(a.took, flag)
	return a.Has(flag)
}

func (a *amender) keep(err error) {
	if a.err == nil {
		a.err = err
	}
}

// unused refuses flags that were given and mean nothing for the entry.
func (a *amender) unused(l *words.Line) error {
	a.cmd.Flags().Visit(func(f *pflag.Flag) {
		if a.cmd.LocalNonPersistentFlags().Lookup(f.Name) != nil && f.Name != "why" && !slices.Contains(a.took, f.Name) {
			a.fail("--%s: %s (%s) has none", f.Name, a.short(l.ID), l.What)
		}
	})
	if err := a.wrong(); err != nil {
		return err
	}
	return a.err
}

func amendTo[T any](a *amender, flag string, dst *T, parse fields.Parser[T], opts ...units.Option) {
	if a.takes(flag) {
		*dst = fields.Read(a.Reader, flag, parse, opts...)
	}
}

func amendOpt[T any](a *amender, flag string, dst *entry.Opt[T], parse fields.Parser[T], opts ...units.Option) {
	if a.takes(flag) {
		*dst = entry.Some(fields.Read(a.Reader, flag, parse, opts...))
	}
}

func (a *amender) words(flag string, dst *string) {
	if a.takes(flag) {
		*dst = a.Text(flag)
	}
}

func (a *amender) box(dst *entry.ID, side *int64) {
	if a.takes("box") {
		b, err := a.call.box(a.Text("box"))
		a.keep(err)
		*dst = b.ID
	}
	if a.takes("side") {
		b, _ := a.view().BoxOf(*dst)
		*side = a.call.side(b)
	}
}

// dial reads a dial as it stands on the box, once box and side are known.
func (a *amender) dial(box entry.ID, side int64, dst *units.Dial) {
	if a.takes("dial") {
		b, _ := a.view().BoxOf(box)
		*dst = a.Dial("dial", b, side)
	}
}

// mass takes the units that a mass is in along with it.
func (a *amender) mass(m *units.Mass, in *units.In) {
	if a.takes("mass") {
		*in = 0
		*m = fields.Read(a.Reader, "mass", units.ParseMass, units.KeepIn(in))
	}
}

func (a *amender) volume(v *units.Volume, in *units.In, heaped *bool) {
	if a.takes("volume") {
		*in = 0
		*v = fields.Read(a.Reader, "volume", units.ParseVolume, units.KeepIn(in))
	}
	if a.takes("heaped") {
		*heaped = a.Yes("heaped")
	}
}

func (a *amender) lot(dst *entry.ID) {
	if a.takes("lot") {
		l, err := a.call.lot(a.Text("lot"))
		a.keep(err)
		*dst = l.ID
	}
}

func (a *amender) ground(dst *entry.ID) {
	if a.takes("ground") {
		g, err := a.call.ground(a.Text("ground"))
		a.keep(err)
		*dst = g.ID
	}
}

// amount is bags or a mass: the one that is given takes the other's place.
func (a *amender) amount(bags *units.Count, m *units.Mass, in *units.In) {
	if a.mass(m, in); a.Has("mass") {
		*bags = 0
	}
	if a.takes("bags") {
		*bags, *m, *in = fields.Read(a.Reader, "bags", units.ParseCount), 0, 0
	}
	if a.Has("mass") && a.Has("bags") {
		a.oneOf("mass", "bags")
	}
}

func (a *amender) length(flag string, l *units.Length, in *units.In) {
	if a.takes(flag) {
		*l, *in = a.LengthIn(flag)
	}
}

func (a *amender) level(b *entry.LevelRead) {
	if a.mass(&b.Mass.Val, &b.MassIn); a.Has("mass") {
		b.Mass.Set, b.Share = true, entry.Opt[units.Share]{}
	}
	if a.takes("share") {
		b.Share, b.Mass = entry.Some(fields.Read(a.Reader, "share", units.ParseShare, units.Fraction())), entry.Opt[units.Mass]{}
		b.MassIn = 0
	}
	if a.Has("mass") && a.Has("share") {
		a.oneOf("mass", "share")
	}
}

func (a *amender) caught(b *entry.Caught) {
	a.box(&b.Box, &b.Side)
	a.lot(&b.Lot)
	a.dial(b.Box, b.Side, &b.Dial)
	if a.takes("turns") {
		b.Turns, b.Distance, b.DistanceIn = fields.Read(a.Reader, "turns", units.ParseTurns), 0, 0
	}
	if a.takes("distance") {
		b.Distance, b.DistanceIn = a.LengthIn("distance")
		b.Turns = 0
	}
	if a.takes("rows") {
		b.Rows = a.Whole("rows")
	}
	if a.takes("caught") {
		b.MassIn, b.RowMasses = 0, nil
		b.Masses = []units.Mass{fields.Read(a.Reader, "caught", units.ParseMass, units.KeepIn(&b.MassIn))}
	}
	if a.takes("row-masses") {
		b.RowMasses, b.MassIn = a.RowMasses("row-masses")
		b.Masses = nil
	}
	amendTo(a, "resolution", &b.Resolution, units.ParseMass, units.Bare("g"))
	a.words("note", &b.Note)
}

func (a *amender) counts(b *entry.StandCounted) {
	if !a.takes("counts") {
		return
	}
	b.Counts = slices.Clone(b.Counts)
	if len(b.Counts) != 1 {
		a.fail("--counts: the note counts %d species: strike it and count again", len(b.Counts))
		return
	}
	b.Counts[0].Plants = nil
	for _, part := range a.Parts("counts") {
		b.Counts[0].Plants = append(b.Counts[0].Plants, a.WholeText("counts", part))
	}
}
