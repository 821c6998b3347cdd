package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/sync/rate"
)

type figureAnswer struct {
	Kind      string `json:"kind"`
	Value     string `json:"value"`
	Unit      string `json:"unit,omitempty"`
	Publisher string `json:"publisher"`
	Title     string `json:"title"`
	Year      string `json:"year"`
	Address   string `json:"address"`
}

type speciesAnswer struct {
	Name           string         `json:"name"`
	Latin          string         `json:"latin"`
	Legume         bool           `json:"legume"`
	SeedsPerLb     *number        `json:"seeds_per_lb,omitempty"`
	SeedsPerLbLow  *number        `json:"seeds_per_lb_low,omitempty"`
	SeedsPerLbHigh *number        `json:"seeds_per_lb_high,omitempty"`
	SeedsSource    string         `json:"seeds_per_lb_source,omitempty"`
	LbPerBu        *number        `json:"lb_per_bu,omitempty"`
	LbPerBuSource  string         `json:"lb_per_bu_source,omitempty"`
	Figures        []figureAnswer `json:"figures"`
}

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
	a := speciesAnswer{Name: s.Name, Latin: s.Latin, Legume: s.IsLegume()}
	lines := []string{s.Name + " (" + s.Latin + ")"}
	if c, ok := s.SeedCount(); ok {
		count, low, high := number(c.PerPound), number(c.Low), number(c.High)
		a.SeedsPerLb, a.SeedsPerLbLow, a.SeedsPerLbHigh, a.SeedsSource = &count, &low, &high, c.Source.String()
		lines = append(lines, "used: "+c.String())
	}
	if b, err := s.BushelWeight(""); err == nil {
		pounds := number(b.Mass.Pounds())
		a.LbPerBu, a.LbPerBuSource = &pounds, b.Source.String()
		lines = append(lines, "used: "+b.String())
	}
	for _, f := range s.AllFigures() {
		a.Figures = append(a.Figures, figureAnswer{f.Kind, f.Value, f.Unit, f.Source.Publisher, f.Source.Title, f.Source.Year, f.Source.Address})
		lines = append(lines, strings.TrimSpace(fmt.Sprintf("%s: %s %s", strings.ReplaceAll(f.Kind, "_", " "), f.Value, f.Unit))+
			" ["+f.Source.String()+"]")
	}
	return result{value: a, lines: lines}
}

type adviceAnswer struct {
	Cautions       []caution `json:"cautions"`
	NurseLowLbPer  *number   `json:"nurse_low_lb_per_ac,omitempty"`
	NurseHighLbPer *number   `json:"nurse_high_lb_per_ac,omitempty"`
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
	var a adviceAnswer
	nurse, err := rate.NurseCrop(r.Share("slope"), r.Yes("weedy"), r.Has("nurse"))
	if err != nil {
		return result{}, err
	}
	if nurse != nil {
		low, high := number(nurse.Low.LbPerAcre()), number(nurse.High.LbPerAcre())
		a.NurseLowLbPer, a.NurseHighLbPer = &low, &high
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
