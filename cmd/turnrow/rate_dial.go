package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newDialCommand(g *globals) *cobra.Command {
	return sum{
		use: "dial", short: "Dial for a target rate, from the chart and from catches",
		example: `  turnrow rate dial --chart "20:18 lb/ac,40:41 lb/ac,60:66 lb/ac" --target "34 lb/ac"
  turnrow rate dial --chart 20:18,40:41,60:66 --catch "30:33 lb/ac:2%" --target "34 lb/ac"
  turnrow rate dial --catch 30:24 --to 100 --target "34 lb/ac"`,
		flags: func(f *pflag.FlagSet) {
			f.String("chart", "", "the chart under the lid, as dial:rate,dial:rate")
			f.String("catch", "", "catches, as dial:rate or dial:rate:standard uncertainty (without it: a careful catch of all rows), parted by commas")
			f.String("target", "", "rate aimed at, as \"34 lb/ac\"")
			f.String("from", "", "start of the dial (default 0)")
			f.String("to", "", "end of the dial (default: the last point of the chart, or 100 without one)")
			speciesFlags(f)
		},
		work: workDial,
	}.command(g)
}

func workDial(r *reading, _ []string) (result, error) {
	readSpecies(r)
	r.need("target")
	if !r.Has("chart") && !r.Has("catch") {
		r.fail("one of --chart, --catch is missing")
	}
	box, catches, target := rate.Box{From: fields.Read(r.Reader, "from", units.ParseDial), Chart: readChart(r)}, readCatches(r), r.Rate("target")
	r.oddRate(target)
	box.To = readEnd(r, box.Chart, catches)
	if r.err != nil {
		return result{}, r.err
	}
	fit, err := rate.FitBox(box, catches)
	if err != nil {
		return result{}, err
	}
	choice, err := fit.DialFor(target)
	if err != nil {
		return result{}, err
	}
	return dialResult(r.System, fit, target, choice), nil
}

func readChart(r *reading) []rate.ChartPoint {
	var chart []rate.ChartPoint
	for _, text := range r.Parts("chart") {
		d, v := dialAndRate(r, "chart", text, 2)
		chart = append(chart, rate.ChartPoint{Dial: d, Rate: v})
	}
	return chart
}

func readCatches(r *reading) []rate.Measured {
	var list []rate.Measured
	for _, text := range r.Parts("catch") {
		d, v := dialAndRate(r, "catch", text, 3)
		m := rate.PlainCatch(d, v)
		if parts := strings.Split(text, ":"); len(parts) == 3 {
			m = rate.Measured{Dial: d, Rate: v, Relative: fields.ReadText(r.Reader, "catch", parts[2], units.ParseShare).Fraction(), Freedom: rate.Known}
		}
		list = append(list, m)
	}
	return list
}

// dialAndRate reads dial:rate, with up to most parts in all.
func dialAndRate(r *reading, flag, text string, most int) (units.Dial, units.RatePerArea) {
	parts := strings.Split(text, ":")
	if len(parts) < 2 || len(parts) > most {
		r.fail("--%s: %q is no dial and rate; they are wanted such as 40:41 lb/ac", flag, text)
		return 0, 0
	}
	return fields.ReadText(r.Reader, flag, parts[0], units.ParseDial),
		fields.ReadText(r.Reader, flag, parts[1], units.ParseRate, r.Bare("lb/ac", "kg/ha"), units.Bushel(r.Bushel))
}

// plainDialEnd is where a dial is taken to end that has neither chart nor --to.
const plainDialEnd units.Dial = 100_000

// readEnd is the end of the dial: as given, or as far as chart and catches go.
func readEnd(r *reading, chart []rate.ChartPoint, catches []rate.Measured) units.Dial {
	if r.Has("to") {
		return fields.Read(r.Reader, "to", units.ParseDial)
	}
	end := plainDialEnd
	if len(chart) > 0 {
		end = chart[len(chart)-1].Dial
	}
	for _, m := range catches {
		end = max(end, m.Dial)
	}
	return end
}

func dialResult(system units.System, fit rate.Fit, target units.RatePerArea, c rate.DialChoice) result {
	head := fmt.Sprintf("dial %v gives %s", nearTenth(c.Dial), c.Rate.Rate.Format(system))
	if !c.Reached {
		head = fmt.Sprintf("the nearest is dial %v, which gives %s", nearTenth(c.Dial), c.Rate.Rate.Format(system))
	}
	aside := asideLines(system, fit.Aside())
	return result{
		value: answer.RateDial{
			Dial: answer.Number(c.Dial.Float()), Low: answer.Number(c.Low.Float()), High: answer.Number(c.High.Float()),
			RateLbPerAc: answer.Number(c.Rate.Rate.LbPerAcre()), RateKgPerHa: answer.Number(c.Rate.Rate.KgPerHa()),
			LowLbPerAc: answer.Number(c.Rate.Low.LbPerAcre()), HighLbPerAc: answer.Number(c.Rate.High.LbPerAcre()),
			Reached: c.Reached, Advice: string(c.Next), Why: c.Why, Basis: string(fit.Basis()),
			Catches: fit.Catches(), Aside: aside, OffChartTimes: offChartTimes(fit),
		},
		lines: append(append([]string{
			head,
			fmt.Sprintf("nine in ten dial %v to %v, rate %s", nearTenth(c.Low), nearTenth(c.High),
				rate.Between(c.Rate.Low, c.Rate.High, system)),
		}, append(aside, offChartLines(fit)...)...), string(c.Next)+": "+c.Why),
		steps: func(s units.System) ([]string, error) { return fit.ExplainDial(target, s) },
	}
}

// offChartTimes is how many times what the chart says the catches show; nil where
// the two agree.
func offChartTimes(fit rate.Fit) *answer.Number {
	if times, off := fit.OffChart(); off {
		return answer.Some(times)
	}
	return nil
}

// offChartLines tells where the catches lie off the chart.
func offChartLines(fit rate.Fit) []string {
	if times, off := fit.OffChart(); off {
		return []string{offChart(times)}
	}
	return nil
}

// offChart says how the catches lie beside the chart.
func offChart(times float64) string {
	return "the catches show " + rate.Beside(times) + " what the chart says: they stand; check chart, units, turns and rows"
}

// nearTenth rounds a dial to a tenth of a mark, as finely as one can be set.
func nearTenth(d units.Dial) units.Dial { return (d + 50) / 100 * 100 }
