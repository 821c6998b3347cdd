package workload

import (
	"fmt"
	"iter"
	"math"
	"strings"
)

// Devices write the workload, each every eighth line.
const Devices = 8

// Begin is before the first line's time, ms since 1970.
const Begin = 1_714_546_800_000

const (
	pace                = 700 // ms from line to line
	jitter              = 400 // ms that a line may be late
	people              = 5
	boxes               = 4
	leastNote, mostNote = 18, 22 // bytes of a note
	mostQty             = 50_000 // hundredths
)

var words = [...]string{
	"north", "south", "gate", "wet", "dry", "stone", "slope", "row",
	"bag", "clover", "turn", "light", "wind", "low", "high", "ditch",
}

var kinds = [...]string{"fill", "swap", "pass", "stop", "calibrate", "note", "weather", "count"}

// Line is one event of the workload, as published: a JSON object on a line.
type Line struct {
	ID     string  `json:"id"` // device and number
	Device string  `json:"device"`
	Person string  `json:"person"`
	Time   int64   `json:"time"` // ms since 1970
	Kind   string  `json:"kind"`
	Box    int     `json:"box"` // from 1
	Qty    float64 `json:"qty"` // with two decimals
	Note   string  `json:"note"`
}

// Lines are the first n lines.
func Lines(n int) iter.Seq2[int, Line] {
	return func(yield func(int, Line) bool) {
		r := mulberry(42)
		for i := range n {
			if !yield(i, r.line(i)) {
				return
			}
		}
	}
}

func (r *mulberry) line(i int) Line {
	device, number := i%Devices, i/Devices
	note := r.note() // what is drawn first comes first
	return Line{
		ID: fmt.Sprintf("d%d-%07d", device, number), Device: fmt.Sprint("dev-", device), Note: note,
		Person: fmt.Sprint("p", r.below(people)),
		Time:   Begin + int64(i)*pace + int64(r.below(jitter)),
		Kind:   kinds[r.below(len(kinds))],
		Box:    1 + r.below(boxes),
		Qty:    math.Floor(r.next()*mostQty+0.5) / 100,
	}
}

// note is words up to the least length, cut at the most.
func (r *mulberry) note() string {
	var b strings.Builder
	for b.Len() < leastNote {
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(words[r.below(len(words))])
	}
	return b.String()[:min(b.Len(), mostNote)]
}

// mulberry is the generator mulberry32 (T. Ettinger, public domain), which
// gives the same numbers in any language with 32-bit arithmetic.
type mulberry uint32

// next is a number from 0 up to 1.
func (r *mulberry) next() float64 {
	*r += 0x6d2b79f5
	a := uint32(*r)
	t := (a ^ a>>15) * (a | 1)
	t ^= t + (t^t>>7)*(t|61)
	return float64(t^t>>14) / (1 << 32)
}

func (r *mulberry) below(n int) int { return int(r.next() * float64(n)) }
