package bench

import (
	"maps"
	"math"
	"slices"
	"time"
)

// quantile is the q-th quantile (0 to 1) of values, by the nearest rank. There
// must be some.
func quantile[T ~int64 | ~float64](values []T, q float64) T {
	s := slices.Sorted(slices.Values(values))
	return s[max(0, int(math.Ceil(q*float64(len(s))))-1)]
}

func median[T ~int64 | ~float64](values []T) T { return quantile(values, 0.5) }

// medians is the median of each figure.
func medians(samples []Figures) Figures {
	out := Figures{}
	for name := range samples[0] {
		var vs []float64
		for _, s := range samples {
			vs = append(vs, s[name])
		}
		out[name] = median(vs)
	}
	return out
}

// Exponents are by which power of N each figure grows, from N to 10 N.
func (r *Report) Exponents() map[string]Figures {
	out := map[string]Figures{}
	for key, small := range r.At {
		large := r.At10[key]
		for _, name := range slices.Sorted(maps.Keys(small)) {
			if a, b := small[name], large[name]; a > 0 && b > 0 {
				if out[key] == nil {
					out[key] = Figures{}
				}
				out[key][name] = math.Log10(b / a)
			}
		}
	}
	return out
}

func seconds(d time.Duration) float64 { return d.Seconds() }

func millis(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
