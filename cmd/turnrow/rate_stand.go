package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newStandCommand(g *globals) *cobra.Command {
	return sum{
		use: "stand", short: "Plants to the area from counted frames or rows",
		example: `  turnrow rate stand --frame "1 ft2" --counts 18,22,15,19,24
  turnrow rate stand --frame "1 ft2" --counts 18,22,15 --species alfalfa
  turnrow rate stand --row-length "3 ft" --spacing "7.5 in" --counts 40,36,44`,
		flags: func(f *pflag.FlagSet) {
			f.String("frame", "", "area of the frame, as \"1 ft2\"")
			f.String("row-length", "", "length of row counted, in place of a frame")
			f.String("spacing", "", "row spacing, with --row-length")
			f.String("counts", "", "plants in each frame, as 18,22,15")
			f.String("species", "", "species, for a published threshold")
		},
		work: workStand,
	}.command(g)
}

func workStand(r *reading, _ []string) (result, error) {
	r.need("counts")
	r.oneOf("frame", "row-length")
	frame := readFrame(r)
	var counts []int64
	for _, text := range r.Parts("counts") {
		counts = append(counts, r.WholeText("counts", text))
	}
	if r.err != nil {
		return result{}, r.err
	}
	s, err := rate.StandOf(frame, counts)
	if err != nil {
		return result{}, err
	}
	res := standResult(r.System, s, frame, counts)
	return res, against(r, s, &res)
}

func readFrame(r *reading) units.Area {
	if r.Has("frame") {
		return fields.Read(r.Reader, "frame", units.ParseArea, r.Bare("ft2", "m2"))
	}
	r.need("spacing")
	length, spacing := r.Length("row-length"), r.Spacing("spacing")
	if r.err != nil {
		return 0
	}
	r.oddLength("spacing", spacing)
	frame, err := rate.FrameOfRow(length, spacing)
	if err != nil {
		r.fail("%w", err)
	}
	return frame
}

func standResult(system units.System, s rate.Stand, frame units.Area, counts []int64) result {
	lines := append([]string{s.Words(system) + ", from " + counted(s.Frames, "frame")}, moreFrames(s)...)
	mean, low, high := s.Per(units.US)
	return result{
		value: answer.RateStand{PerFt2: answer.Number(mean), Low: answer.Number(low), High: answer.Number(high),
			PerM2: answer.Number(s.Mean.PerSquareMetre()), Frames: s.Frames, FramesNeeded: s.FramesNeeded},
		lines: lines,
		steps: func(system units.System) ([]string, error) { return rate.ExplainStand(frame, counts, system) },
	}
}

// moreFrames says what more frames would show.
func moreFrames(s rate.Stand) (lines []string) {
	if s.FramesNeeded > s.Frames {
		lines = append(lines, fmt.Sprintf("for ±20 %%: %s in all", counted(s.FramesNeeded, "frame")))
	}
	if s.Frames == 1 {
		lines = append(lines, "one frame cannot show whether plants stand in clumps: throw it elsewhere too, several times")
	}
	return lines
}

// against holds the stand against a species' published threshold.
func against(r *reading, s rate.Stand, res *result) error {
	if !r.Has("species") {
		return nil
	}
	species, err := rate.FindSpecies(r.Text("species"))
	if err != nil {
		return fmt.Errorf("--species: %w", err)
	}
	a := res.value.(answer.RateStand)
	t, ok := rate.ThresholdFor(species)
	if !ok {
		a.Threshold = "no published threshold for " + species.Name + " is built in"
	} else {
		a.Verdict = string(s.Against(t))
		a.Threshold = fmt.Sprintf("%s: %s (%s)", t.Least.Format(r.System), t.Meaning, t.Source)
		res.lines = append(res.lines, "verdict: "+a.Verdict)
	}
	res.lines = append(res.lines, a.Threshold)
	res.value = a
	return nil
}

func newGridCommand(g *globals) *cobra.Command {
	return sum{
		use: "grid", short: "Least plants to the area from a frequency grid of 15 cm cells",
		example: `  turnrow rate grid --occupied 50 --cells 100`,
		flags: func(f *pflag.FlagSet) {
			f.String("occupied", "", "cells that hold a plant")
			f.String("cells", "100", "cells looked at")
		},
		work: func(r *reading, _ []string) (result, error) {
			r.need("occupied")
			occupied, cells := r.Whole("occupied"), r.WholeText("cells", r.Text("cells"))
			if r.err != nil {
				return result{}, r.err
			}
			got, err := rate.FrequencyGrid(occupied, cells)
			return result{
				value: answer.RateGrid{OccupiedShare: answer.Number(got.Occupied.Fraction()), ConservativePerFt2: answer.Number(got.Conservative.PerSquareFoot()),
					PerFt2: answer.Number(got.PerCell.PerSquareFoot()), ConservativePerM2: answer.Number(got.Conservative.PerSquareMetre()), PerM2: answer.Number(got.PerCell.PerSquareMetre())},
				lines: []string{fmt.Sprintf("at least %s (Vogel and Masters) to %s (Michigan State), from %v occupied: a cell can hold more than one plant",
					got.Conservative.Format(r.System), got.PerCell.Format(r.System), got.Occupied)},
			}, err
		},
	}.command(g)
}
