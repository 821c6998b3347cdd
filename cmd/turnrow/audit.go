package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/audit"
)

func newAuditCommand(g *globals) *cobra.Command {
	return task{
		use: "audit FILE", short: "Write the whole record into a file that a stranger can check",
		long: `Write the whole record into a file that a stranger can check without turnrow:
every note's bytes and words, the chains of hashes, and the devices' signatures.
client/audit/AUDIT.md, in turnrow's source, says how it is checked with nothing
but SHA-256 and Ed25519; "turnrow verify --file FILE" does it. "-" writes to
standard output.

Everything that anybody wrote is in the file: think of whom you give it to.`,
		example: "  turnrow audit windgap.jsonl\n  turnrow verify --file windgap.jsonl",
		args:    exactly(1),
		work:    writeAudit,
	}.command(g)
}

func writeAudit(k *call) error {
	n := uint64(0)
	to := k.args[0]
	err := k.slowly("writing the record", func(p *progress) (err error) {
		if to == "-" {
			n, err = k.auditTo(k.out, p)
			return err
		}
		return writeWhole(k.path(to), func(w io.Writer) error {
			n, err = k.auditTo(w, p)
			return err
		})
	})
	if err != nil || to == "-" {
		return err
	}
	return k.show(answer.AuditFile{Entries: n}, []string{fmt.Sprintf("%s in %s. turnrow verify --file %s checks it.", counted(n, "note"), to, to)})
}

func (k *call) auditTo(w io.Writer, p *progress) (uint64, error) {
	return audit.Write(w, audit.Source{Farm: k.farm.ID(), Made: time.Now(), Runs: k.farm.Runs()}, p.report)
}

// orFile lets verify check an audit file in place of the record here. That
// needs no home.
func (g *globals) orFile(c *cobra.Command) *cobra.Command {
	c.Flags().String("file", "", "check this audit file instead, which needs no home; - for standard input")
	here := c.RunE
	c.RunE = func(c *cobra.Command, args []string) error {
		name, err := c.Flags().GetString("file")
		switch {
		case err != nil:
			return err
		case name == "":
			return here(c, args)
		}
		return g.slowly("checking the file", func(p *progress) error { return g.verifyFile(name, p) })
	}
	return c
}

func (g *globals) verifyFile(name string, p *progress) error {
	in := io.Reader(os.Stdin)
	if name != "-" {
		f, err := os.Open(g.path(name))
		if err != nil {
			return err
		}
		defer f.Close()
		in = f
	}
	r, err := audit.Check(in, func(done uint64) { p.report(done, 0) })
	if err != nil {
		return fmt.Errorf("%s: %w: name one that turnrow audit wrote, whole", name, err)
	}
	a := answer.FileVerified{OK: r.OK(), Entries: r.Entries, Devices: r.Devices, Farm: r.Farm.String(), Name: r.Name, Faults: append([]string{}, r.Faults...), Words: append([]string{}, r.Words...)}
	if err := g.show(a, fileLines(&r)); err != nil || r.OK() {
		return err
	}
	return fmt.Errorf("%s: %s found: do not rely on this file", name, counted(len(r.Faults), "fault"))
}

func fileLines(r *audit.Report) []string {
	lines := r.Faults
	if r.OK() {
		lines = []string{fmt.Sprintf("%s, farm %s: %s of %s: every chain and signature is whole.",
			r.Name, r.Farm, counted(r.Entries, "note"), counted(r.Devices, "device"))}
	}
	for _, w := range r.Words {
		lines = append(lines, "in other words: "+w)
	}
	return lines
}
