package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/setfile"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/rate"
)

// errSet ends a batch that has nothing to write.
var errSet = errors.New("all is as the file says")

func newSetCommand(g *globals) *cobra.Command {
	return task{
		use: "set FILE", short: "Set drill, boxes, chart, ground, lots, plan and checks from a file",
		long: `Set the drill, its boxes, the chart under the lid, ground, seed lots, plans and
the hitch's checks from one YAML file. The file goes in whole or not at all. Any
part may be left out, and a later file changes only what it names; things are
matched by name (was: OLD NAME renames one). "-" reads standard input.

  drill: {name: borrowed drill, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
  boxes:
    - {name: grain, meter: fluted roll, dial: {from: 0, to: 100}, capacity: 12 bu}
  chart:
    - {box: grain, species: oat, points: {20: 18 lb/ac, 40: 41 lb/ac}}
  ground:
    - {name: bench, area: 7.5 ac, slope: 12%, state: cleared}
  lots:
    - {name: O-1, species: oat, purity: 98%, germination: 90%, bag: 50 lb, price: 14.50, tested: 2026-06-01}
  plan:
    - ground: bench
      seed: [{lot: O-1, box: grain, live: 30 lb/ac}]   # or seeds: 30 seeds/ft2
  checks:
    items: [engine off and key out, {name: gloves in the cab, required: false}]

A counter that shows turns of a shaft is counter_turns_per_acre: 130 in place of
counter: acres. The wheel that drives the meters has wheel_roll, or where only
that is known wheel_turns_per_acre: 533.

All keys (client/setfile/SETFILE.md has them with ranges and examples):
` + keysHelp(),
		example: "  turnrow set windgap.yaml",
		args:    exactly(1),
		work:    setFile,
	}.command(g)
}

// keysHelp lists the keys of a set file, part by part.
func keysHelp() string {
	var b strings.Builder
	of := ""
	for _, d := range setfile.Keys() {
		if d.Of != of {
			of = d.Of
			fmt.Fprintf(&b, "\n  %s\n", of)
		}
		fmt.Fprintf(&b, "    %-22s  %s", d.Key, d.What)
		if d.Range != "" && d.Range != "text" {
			fmt.Fprintf(&b, " (%s)", d.Range)
		}
		b.WriteByte('\n')
	}
	return strings.TrimRight(b.String(), "\n")
}

func setFile(k *call) error {
	data, err := k.readFile(k.args[0])
	if err != nil {
		return err
	}
	file, err := setfile.Parse(k.args[0], data)
	if err != nil {
		return err
	}
	if err := file.CheckTests(func(day int64) error { return k.farm.CheckDay("test date", day, client.TestYears) }); err != nil {
		return err
	}
	on := entry.ID{}
	if k.drill != "" {
		d, err := k.theDrill()
		if err != nil {
			return err
		}
		on = d.ID
	}
	ids, notes, err := k.writeFile(file, on)
	if err != nil {
		return err
	}
	hints := append(append([]string{}, notes...), file.Hints()...)
	lines := []string{"All is as the file says already."}
	if len(ids) > 0 {
		lines = append([]string{fmt.Sprintf("%d written from %s:", len(ids), k.args[0])}, k.tell(ids...)...)
	}
	warnings := k.cautionsAbout(ids)
	return k.show(answer.Set{Written: len(ids), Hints: hints, Cautions: cautions(warnings)}, append(append(lines, hints...), cautionLines(warnings)...))
}

// cautionsAbout are those about the lots and pieces of ground that entries are
// about.
func (k *call) cautionsAbout(ids []entry.ID) []rate.Caution {
	var about []entry.ID
	for _, id := range ids {
		if l, err := k.line(id); err == nil {
			about = append(append(about, id), l.About...)
		}
	}
	if len(about) == 0 {
		return nil
	}
	return sheet.PlanCautions(k.farm.View(), k.today(), about...)
}

func (k *call) writeFile(file *setfile.File, on entry.ID) (ids []entry.ID, notes []string, err error) {
	who, err := k.person()
	if err != nil {
		return nil, nil, err
	}
	ids, err = k.ask(who, func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		o, err := file.Outcome(look(), on, next)
		if errors.Is(err, setfile.ErrWhichDrill) {
			err = fmt.Errorf("%w, or with --drill", err)
		}
		if err == nil && len(o.Bodies) == 0 {
			err = errSet
		}
		notes = o.Notes
		return o.Bodies, err
	})
	if errors.Is(err, errSet) {
		return nil, nil, nil
	}
	return ids, notes, err
}

// readFile reads a file that the caller named; - is standard input.
func (k *call) readFile(name string) ([]byte, error) {
	if name != "-" {
		return os.ReadFile(k.path(name))
	}
	var in io.Reader = os.Stdin
	if k.held != nil {
		in = bytes.NewReader(k.in)
	}
	return io.ReadAll(io.LimitReader(in, setfile.MaxSize+1))
}
