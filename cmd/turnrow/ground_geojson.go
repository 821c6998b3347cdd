package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newGeoJSONCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use: "geojson", Short: "Take pieces of ground in from a map, and out to one (GeoJSON)",
		Long: `Take the boundaries of pieces of ground in from a GeoJSON file (RFC 7946), which
every mapping program writes, and out to one, with what was sown on each.`,
	})
	c.AddCommand(
		task{use: "out FILE", short: "Write pieces of ground and what was sown on them into a file", args: exactly(1),
			long: `Write the pieces of ground that have a boundary, with what was sown on each, into
a GeoJSON file. "-" writes to standard output.`,
			example: "  turnrow geojson out windgap.geojson\n  turnrow geojson out - --from 2026-08-01", flags: spanFlags, work: geojsonOut}.command(g),
		task{use: "in FILE", short: "Set boundaries from a file", args: exactly(1),
			long: `Set the boundaries of pieces of ground from a GeoJSON file; "-" reads standard
input. A piece is matched by the feature's property "name"; one that is not there
yet is made, with the area inside its boundary. --ground names the piece where
the file holds one alone.`,
			example: "  turnrow geojson in bench.geojson --ground bench",
			flags:   func(f *pflag.FlagSet) { f.String("ground", "", "which piece, where the file holds one") },
			work:    geojsonIn}.command(g),
	)
	return c
}

func geojsonOut(k *call) error {
	now := time.Now().In(k.zone())
	from, to := k.date("from", now), k.date("to", now)
	lines := k.farm.Lines()
	span := k.span(lines, from, to, now)
	if err := k.wrong(); err != nil {
		return err
	}
	s := k.sheet(lines, span, now)
	if k.args[0] == "-" {
		_, err := s.GeoJSON(k.papers())
		return err
	}
	a := answer.GeoJSON{Pieces: []string{}, WithoutBoundary: []string{}}
	err := writeWhole(k.path(k.args[0]), func(w io.Writer) error {
		without, err := s.GeoJSON(w)
		a.WithoutBoundary = append(a.WithoutBoundary, without...)
		return err
	})
	if err != nil {
		return err
	}
	for _, g := range k.view().Grounds {
		if !slices.Contains(a.WithoutBoundary, g.Name) {
			a.Pieces = append(a.Pieces, g.Name)
		}
	}
	a.Written = len(a.Pieces)
	text := []string{fmt.Sprintf("%s of ground in %s.", counted(a.Written, "piece"), k.args[0])}
	if len(a.WithoutBoundary) > 0 {
		text = append(text, "Left out, having no boundary: "+strings.Join(a.WithoutBoundary, ", ")+".")
	}
	return k.show(a, text)
}

func geojsonIn(k *call) error {
	data, err := k.readFile(k.args[0])
	if err != nil {
		return err
	}
	pieces, err := sheet.ReadGeoJSON(data)
	if err != nil {
		return fmt.Errorf("%s: %w", k.args[0], err)
	}
	if err := k.namePieces(pieces); err != nil {
		return err
	}
	who, err := k.person()
	if err != nil {
		return err
	}
	a := answer.GeoJSON{Pieces: []string{}, WithoutBoundary: []string{}}
	ids, err := k.ask(who, func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		var set []client.Intent
		for i := range pieces {
			g := groundFrom(look(), &pieces[i])
			if err := g.Check(); err != nil {
				return nil, fmt.Errorf("%s: %s: %w", k.args[0], pieces[i].Name, err)
			}
			set = append(set, g)
			a.Pieces = append(a.Pieces, pieces[i].Name)
		}
		return k.farm.Intend(set...)(look, next)
	})
	if err != nil {
		return err
	}
	a.Written = len(ids)
	lines := k.tell(ids...)
	for i := range pieces {
		lines = append(lines, pieces[i].Name+": "+pieces[i].Area.Format(k.units())+" inside its boundary")
	}
	return k.show(a, lines)
}

// namePieces sees that each piece has a name of its own.
func (k *call) namePieces(pieces []sheet.Piece) error {
	if name := k.Text("ground"); name != "" {
		if len(pieces) != 1 {
			return fmt.Errorf("--ground names one piece, and %s holds %d: give each its property \"name\"", k.args[0], len(pieces))
		}
		pieces[0].Name = name
	}
	var seen []string
	for i := range pieces {
		switch name := pieces[i].Name; {
		case name == "":
			return errors.New("a polygon has no property \"name\": give it one, or say --ground NAME where it is the only one")
		case slices.Contains(seen, name):
			return fmt.Errorf("two polygons are called %q: each piece has one outline", name)
		default:
			seen = append(seen, name)
		}
	}
	return nil
}

// groundFrom sets a piece's boundary, and makes the piece where there is none
// of its name. A stated area stands: the boundary's is shown beside it.
func groundFrom(v *farm.View, p *sheet.Piece) client.Ground {
	b := client.Ground{GroundSet: entry.GroundSet{Boundary: p.Rings}}
	g, ok := v.GroundNamed(p.Name)
	b.Ground = g.ID
	if !ok {
		b.Name = entry.Some(p.Name)
	}
	if g.Area == 0 {
		b.Area = entry.Some(p.Area)
	}
	return b
}
