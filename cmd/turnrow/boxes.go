package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/rough"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newBoxesCommand(g *globals) *cobra.Command {
	return task{
		use: "boxes", short: "Show each seed box: dial, rate, what is in it, how far it goes",
		example: "  turnrow boxes\n  turnrow boxes --json", work: showBoxes,
	}.command(g)
}

func showBoxes(k *call) error {
	boxes, err := k.boxesHere()
	if err != nil {
		return err
	}
	answers := []answer.Box{}
	rests := sheet.RestsOf(k.view())
	for _, b := range boxes {
		answers = append(answers, k.report().Box(b, rests))
	}
	return k.show(answers, append(k.boxTable(boxes, rests), k.footer()...))
}

func (k *call) boxTable(boxes []farm.Box, rests sheet.Rests) []string {
	if len(boxes) == 0 {
		return []string{"No boxes are set yet: turnrow set FILE sets them."}
	}
	var rows [][]string
	var doubts []string
	for i := range boxes {
		on := rests.Box(&boxes[i])
		rows = append(rows, markedBox(k.boxRow(boxes[i]), on))
		doubts = append(doubts, restLines(boxes[i].Name, on)...)
	}
	lines := append(table([]string{"box", "dial", "gives (90 %)", "aim", "in it", "lasts for (8 in 10)"}, rows), doubts...)
	return append(lines, k.adviceLines(boxes, rests)...)
}

// emptyText is what stands for what is in an empty box.
const emptyText = "empty"

func (k *call) boxRow(b farm.Box) []string {
	s := k.units()
	row := []string{b.Name, dialText(b), "not known", "none", emptyText, ""}
	if b.Rate != nil {
		row[2] = rateText(*b.Rate, s) + ", " + string(b.Basis)
	}
	if b.Aim > 0 {
		row[3] = b.Aim.Format(s)
	} else if len(b.Aims) > 0 {
		row[3] = k.aimsText(b)
	}
	if text := k.seedText(b); text != "" {
		row[4] = text
	}
	if l := b.AcresLeft; l != nil {
		low, _, _ := strings.Cut(rough.AreaTenths(l.P10, s, math.Floor), " ")
		row[5] = fmt.Sprintf("%s (%s to %s)", rough.AreaTenths(l.P50, s, math.Round), low, rough.AreaTenths(l.P90, s, math.Ceil))
		if rough.AreaTenths(l.P50, s, math.Round) == rough.AreaTenths(0, s, math.Round) {
			row[5] = "less than " + rough.AreaTenths(max(l.P90, 1), s, math.Ceil)
		}
	}
	return row
}

// aimsText is a box's aim on each piece that it is planned for.
func (k *call) aimsText(b farm.Box) string {
	parts := make([]string, len(b.Aims))
	for i, a := range b.Aims {
		parts[i] = "on " + k.view().NameOf(a.Ground) + " " + a.Rate.Format(k.units())
	}
	return strings.Join(parts, ", ")
}

// rateText is a rate with its interval.
func rateText(r rate.RateEstimate, s units.System) string {
	return fmt.Sprintf("%s (%s)", r.Rate.Format(s), spanText(r, s))
}

// spanText is the ends of a rate's interval, with the unit once.
func spanText(r rate.RateEstimate, s units.System) string {
	low, unit, _ := strings.Cut(r.Low.Format(s), " ")
	high, _, _ := strings.Cut(r.High.Format(s), " ")
	return low + " to " + high + " " + unit
}

func (k *call) seedText(b farm.Box) string {
	text := ""
	for i, s := range b.Seed {
		if i > 0 {
			text += ", "
		}
		if b.LeftOpen {
			text += "at most "
		}
		text += rough.Poured(s.Mass, k.units()) + " " + k.view().NameOf(s.Lot)
		if side := report.SideName(b, s.Side); side != "" {
			text += " (" + side + ")"
		}
	}
	return text
}

// footer is what everyone should know besides: doubts, waiting entries, and
// what is on this device alone.
func (k *call) footer() []string { return append(k.openLines(), k.onlyHere()...) }

// openLines say what waits for a person, or for entries that are not here.
func (k *call) openLines() (lines []string) {
	if n := k.view().Open; n > 0 {
		lines = append(lines, counted(n, "doubt")+" to settle: turnrow doubts")
	}
	if n := k.view().Waiting; n > 0 {
		lines = append(lines, fmt.Sprintf("%d notes here wait for others that are not here yet", n))
	}
	return lines
}

// line is the audit's line of an entry.
func (k *call) line(id entry.ID) (words.Line, error) {
	l, ok := k.farm.Line(id)
	if !ok {
		return l, fmt.Errorf("note %s is not on this device", id)
	}
	return l, nil
}
