package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/sync/rate"
)

func newSpeciesCommand(g *globals) *cobra.Command {
	return sum{
		use: "species [NAME]", short: "Published figures on a species, each with its source",
		example: `  turnrow rate species
  turnrow rate species "tall fescue"`,
		args: cobra.MaximumNArgs(1),
		work: func(_ *reading, args []string) (result, error) {
			if len(args) == 0 {
				return listSpecies(), nil
			}
			s, err := rate.FindSpecies(args[0])
			if err != nil {
				return result{}, err
			}
			return speciesResult(s), nil
		},
	}.command(g)
}

func listSpecies() result {
	var names []string
	for _, s := range rate.AllSpecies() {
		names = append(names, s.Name)
	}
	return result{value: names, lines: names}
}

func speciesResult(s rate.Species) result {
	a := answer.Species{Name: s.Name, Latin: s.Latin, Legume: s.IsLegume()}
	lines := []string{s.Name + " (" + s.Latin + ")"}
	if c, ok := s.SeedCount(); ok {
		count, low, high := answer.Number(c.PerPound), answer.Number(c.Low), answer.Number(c.High)
		a.SeedsPerLb, a.SeedsPerLbLow, a.SeedsPerLbHigh, a.SeedsSource = &count, &low, &high, c.Source.String()
		lines = append(lines, "used: "+c.String())
	}
	if b, err := s.BushelWeight(""); err == nil {
		pounds := answer.Number(b.Mass.Pounds())
		a.LbPerBu, a.LbPerBuSource = &pounds, b.Source.String()
		lines = append(lines, "used: "+b.String())
	}
	for _, f := range s.AllFigures() {
		a.Figures = append(a.Figures, answer.Figure{Kind: f.Kind, Value: f.Value, Unit: f.Unit, Publisher: f.Source.Publisher, Title: f.Source.Title, Year: f.Source.Year, Address: f.Source.Address})
		lines = append(lines, strings.TrimSpace(fmt.Sprintf("%s: %s %s", strings.ReplaceAll(f.Kind, "_", " "), f.Value, f.Unit))+
			" ["+f.Source.String()+"]")
	}
	return result{value: a, lines: lines}
}

func newAdviceCommand(g *globals) *cobra.Command {
	c := sum{
		use: "advice", short: "What to think of before sowing a mix: nurse crop, inoculant, spray",
		example: `  turnrow rate advice --species "tall fescue" --species "red clover" --slope 12%
  turnrow rate advice --species alfalfa --inoculated --nurse "60 lb/ac" --nurse-alone "90 lb/ac" --broadleaf-spray`,
		work: workAdvice,
	}.command(g)
	f := c.Flags()
	f.StringArray("species", nil, "species in the mix; give it again for each")
	f.String("slope", "0%", "slope of the ground, as 12%")
	f.Bool("weedy", false, "the ground is weedy")
	f.Bool("inoculated", false, "the legumes are inoculated")
	f.Bool("broadleaf-spray", false, "a broadleaf spray is planned later")
	f.String("nurse", "", "rate of the nurse crop, if one is planned")
	f.String("nurse-alone", "", "rate at which that crop is sown alone")
	return c
}

func workAdvice(r *reading, _ []string) (result, error) {
	var mix []rate.Species
	for _, name := range r.Each("species") {
		s, err := rate.FindSpecies(name)
		if err != nil {
			return result{}, fmt.Errorf("--species: %w", err)
		}
		mix = append(mix, s)
	}
	if len(mix) == 0 {
		return result{}, errors.New("--species is missing")
	}
	notes := aboutLegumes(r, mix)
	var a answer.RateAdvice
	nurse, err := rate.NurseCrop(r.Share("slope"), r.Yes("weedy"), r.Has("nurse"))
	if err != nil {
		return result{}, err
	}
	if nurse != nil {
		low, high := answer.Number(nurse.Low.LbPerAcre()), answer.Number(nurse.High.LbPerAcre())
		a.NurseLowLbPerAc, a.NurseHighLbPerAc = &low, &high
		notes = append(notes, nurse.Caution)
	}
	thick, err := thickNurse(r)
	if err != nil {
		return result{}, err
	}
	notes = append(notes, thick...)
	a.Cautions = cautions(notes)
	lines := cautionLines(notes)
	if len(lines) == 0 {
		lines = []string{"nothing to caution of"}
	}
	return result{value: a, lines: lines}, nil
}

func aboutLegumes(r *reading, mix []rate.Species) []rate.Caution {
	var notes []rate.Caution
	for _, s := range mix {
		if c := rate.Inoculate(s, r.Yes("inoculated")); c != nil {
			notes = append(notes, *c)
		}
	}
	for _, c := range []*rate.Caution{
		rate.SprayOverLegume(mix, r.Yes("broadleaf-spray")),
		rate.ShadedLegume(mix, r.Has("nurse")),
	} {
		if c != nil {
			notes = append(notes, *c)
		}
	}
	return notes
}

func thickNurse(r *reading) ([]rate.Caution, error) {
	if !r.Has("nurse-alone") {
		return nil, nil
	}
	r.need("nurse")
	planned, alone := r.Rate("nurse"), r.Rate("nurse-alone")
	if r.err != nil {
		return nil, r.err
	}
	c, err := rate.ThickNurse(planned, alone)
	if c == nil {
		return nil, err
	}
	return []rate.Caution{*c}, err
}
