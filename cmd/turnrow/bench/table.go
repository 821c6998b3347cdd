package bench

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"
)

// aim is what a figure should come to, on two quiet processors.
type aim struct {
	key, figure string
	least       bool // else most
	value       float64
	at          int // the N that it is for; 0 for any
}

// aims are what this program is built to reach; the workload's larger size is
// 100,000.
var aims = []aim{
	{keyRecordDurable, "ratio", true, 0.8, 0},
	{keyRecordGrouped, "times_one_writer", true, 20, 0},
	{keyColdSync, "seconds", false, 1, large},
	{keyColdSync, "bytes_per_entry", false, 20, large},
	{keyMergeEight, "seconds", false, 2, large},
	{keyCatchUp, "round_trips", false, 1, 0},
	{keyCatchUp, "message_bytes", false, 1000, 0},
	{keyCatchUp, "new_connection_bytes", false, 3000, 0},
	{keyCatchUp, "ms", false, 3, 0},
	{keyOpen, "ms", false, 80, large},
	{keyOpen, "peak_mb", false, 60, large},
	{keyFold, "ns_per_entry", false, 1000, 0},
	{keyFold, "bytes_per_entry", false, 300, 0},
	{keyFold, "late_us", false, 20, 0},
	{keyFanOut, "p99_ms", false, 500, 0},
	{keyFanOut, "kb_per_watcher", false, 40, 0},
	{keySlowLink, "times_link", false, 1.5, 0},
}

const large = 100_000

func aimOf(key, figure string, n int) (aim, bool) {
	i := slices.IndexFunc(aims, func(a aim) bool { return a.key == key && a.figure == figure && (a.at == 0 || a.at == n) })
	if i < 0 {
		return aim{}, false
	}
	return aims[i], true
}

func (a aim) reached(v float64) bool { return a.least && v >= a.value || !a.least && v <= a.value }

func (a aim) String() string {
	sign := "≤ "
	if a.least {
		sign = "≥ "
	}
	return sign + text(a.value)
}

// Table is the report as rows under a heading.
func (r *Report) Table() (head []string, rows [][]string) {
	head = []string{"measure", "figure", "N=" + strconv.Itoa(r.N)}
	if r.At10 != nil {
		head = append(head, "N="+strconv.Itoa(10*r.N), "exponent")
	}
	head = append(head, "aim")
	exponents := r.Exponents()
	for _, key := range Keys() {
		for _, name := range slices.Sorted(maps.Keys(r.At[key])) {
			row := []string{key, name, text(r.At[key][name])}
			if r.At10 != nil {
				row = append(row, textOf(r.At10[key], name), textOf(exponents[key], name))
			}
			rows = append(rows, append(row, r.verdict(key, name)))
		}
	}
	return head, rows
}

// verdict says how a figure stands to its aim, at the larger N where it was
// measured there.
func (r *Report) verdict(key, name string) string {
	n, v := r.N, r.At[key][name]
	if r.At10[key] != nil {
		n, v = 10*r.N, r.At10[key][name]
	}
	a, ok := aimOf(key, name, n)
	switch {
	case !ok:
		return ""
	case a.reached(v):
		return a.String() + " reached"
	}
	return a.String() + " missed"
}

func textOf(f Figures, name string) string {
	if v, ok := f[name]; ok {
		return text(v)
	}
	return ""
}

// text is a figure to four significant digits, without an exponent.
func text(v float64) string {
	digits := 3
	for x := v; (x >= 10 || x <= -10) && digits > 0; x /= 10 {
		digits--
	}
	return strconv.FormatFloat(v, 'f', digits, 64)
}

// MarshalJSON writes one object: N, runs, machine, each measure's figures
// under its key, and what it grows to and how fast under growth.
func (r *Report) MarshalJSON() ([]byte, error) {
	out := map[string]any{"n": r.N, "runs": r.Runs, "machine": r.Machine}
	for key, f := range r.At {
		out[key] = f
	}
	if r.At10 != nil {
		out["growth"] = map[string]any{"n": 10 * r.N, "figures": r.At10, "exponents": r.Exponents()}
	}
	return json.Marshal(out)
}
