package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
)

func newCarryCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use: "carry", Short: "Take the record from device to device in a file",
		Long: `Take the record from device to device in a file: on a stick, a card, or in a
message. The file holds what an exchange would send. It is not secret from
whoever holds it, but nobody can change it unseen.`,
	})
	c.AddCommand(
		task{use: "out FILE", short: "Write the record into a file", args: exactly(1),
			example: "  turnrow carry out windgap.carry", work: carryOut}.command(g),
		task{use: "in FILE", short: "Take in the record from a file", args: exactly(1),
			example: "  turnrow carry in windgap.carry", work: carryIn}.command(g),
	)
	return c
}

func carryOut(k *call) error {
	n := 0
	err := writeWhole(k.path(k.args[0]), func(f io.Writer) (err error) {
		n, err = k.farm.CarryOut(f)
		return err
	})
	if err != nil {
		return err
	}
	return k.show(answer.Carried{Entries: n, Refused: []string{}, Admitted: []string{}}, []string{fmt.Sprintf("%s in %s.", counted(n, "note"), k.args[0])})
}

func carryIn(k *call) error {
	f, err := os.Open(k.path(k.args[0]))
	if err != nil {
		return err
	}
	defer f.Close()
	in, err := k.farm.CarryIn(f)
	if err != nil {
		return fmt.Errorf("%s: %w: take one that turnrow carry out of this farm wrote, whole", k.args[0], err)
	}
	lines := []string{counted(in.Entries, "new note") + " taken in."}
	a := answer.Carried{Entries: in.Entries, Refused: []string{}, Admitted: k.letIn(in.Admitted)}
	lines = append(lines, letInLines(a.Admitted)...)
	refused, more := k.refused(in.Refused)
	a.Refused = refused
	return k.show(a, append(append(lines, more...), k.atTheDoor()...))
}

// writeWhole writes a file that is there whole or not at all.
func writeWhole(name string, write func(io.Writer) error) error {
	f, err := os.CreateTemp(dirOf(name), ".turnrow-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already where all went well
	if err := write(f); err != nil {
		f.Close()
		return err
	}
	if err := f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
