package main

import (
	"encoding/hex"
	"fmt"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/sync/logstore"
)

func newDigestCommand(g *globals) *cobra.Command {
	return task{
		use: "digest", short: "Show the digest of the record: equal where two devices hold the same", example: "  turnrow digest",
		work: func(k *call) error {
			d := k.farm.Digest()
			a := answer.Digest{Digest: hex.EncodeToString(d.Sum[:]), Entries: d.Entries, Frontier: map[string]uint64{}}
			for _, m := range d.Frontier {
				a.Frontier[m.Log.String()] = m.Seq
			}
			return k.show(a, append([]string{a.Digest, fmt.Sprintf("%s of %s", counted(d.Entries, "note"), counted(len(d.Frontier), "device"))}, k.onlyHere()...))
		},
	}.command(g)
}

func newVerifyCommand(g *globals) *cobra.Command {
	return g.orFile(task{
		use: "verify", short: "Check every chain and signature of the record on this device, or of an audit file",
		example: "  turnrow verify\n  turnrow verify --file windgap.jsonl",
		work: func(k *call) error {
			var report logstore.Report
			err := k.slowly("verifying", func(p *progress) (err error) {
				report, err = k.farm.Verify(p.report)
				return err
			})
			if err != nil {
				return err
			}
			return k.showReport(report)
		},
	}.command(g))
}

// showReport prints what was found, and fails where anything was.
func (k *call) showReport(r logstore.Report) error {
	a := answer.Verified{OK: len(r.Faults)+len(r.Missing) == 0, Entries: r.Entries, Faults: []string{}}
	for _, f := range r.Faults {
		a.Faults = append(a.Faults, f.String())
	}
	for _, g := range r.Missing {
		a.Faults = append(a.Faults, fmt.Sprintf("notes %d to %d of device %s: lost on this disk", g.Held+1, g.Had, g.Device))
	}
	lines := []string{counted(r.Entries, "note") + ": every chain and signature is whole."}
	if !a.OK {
		lines = a.Faults
	}
	if err := k.show(a, lines); err != nil || a.OK {
		return err
	}
	return fmt.Errorf("%s found: this device's copy is damaged: the next command puts it in order, and turnrow sync, or turnrow sync --with ADDRESS, brings back what others have", counted(len(a.Faults), "fault"))
}
