package main

import (
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newPaceCommand(g *globals) *cobra.Command {
	return sum{
		use: "pace", short: "Ground done in an hour, and the hours for a piece of it",
		example: `  turnrow rate pace --speed "5 mph" --width "10 ft" --efficiency 70% --area "21 ac"
  turnrow rate pace --speed "8 km/h" --width "3 m" --efficiency 70% --units metric`,
		flags: func(f *pflag.FlagSet) {
			f.String("speed", "", "speed while sowing, as \"5 mph\"")
			f.String("width", "", "working width, as \"10 ft\"")
			f.String("efficiency", "", "field efficiency: the part of the time that is spent sowing, as 70%")
			f.String("area", "", "piece of ground, as \"7.5 ac\"")
		},
		work: workPace,
	}.command(g)
}

func workPace(r *reading, _ []string) (result, error) {
	r.need("speed", "width", "efficiency")
	speed := fields.Read(r.Reader, "speed", units.ParseSpeed, r.Bare("mph", "km/h"))
	width, efficiency, ground := r.Length("width"), r.WholeShare("efficiency"), r.Area("area")
	r.oddSpeed(speed)
	r.oddLength("width", width)
	if r.err != nil {
		return result{}, r.err
	}
	done, err := rate.PerHour(speed, width, efficiency)
	if err != nil {
		return result{}, err
	}
	a := answer.RatePace{AcPerH: answer.Number(done.Acres()), HaPerH: answer.Number(done.Hectares())}
	lines := []string{done.Format(r.System) + " an hour"}
	if r.Has("area") {
		hours, err := rate.HoursFor(ground, done)
		if err != nil {
			return result{}, err
		}
		n := answer.Number(hours)
		a.Hours = &n
		lines = append(lines, ground.Format(r.System)+" takes "+strconv.FormatFloat(hours, 'f', 1, 64)+" hours")
	}
	return result{value: a, lines: lines, steps: func(s units.System) ([]string, error) {
		return rate.ExplainPace(speed, width, efficiency, s)
	}}, nil
}
