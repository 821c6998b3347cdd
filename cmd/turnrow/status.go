package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
)

func newStatusCommand(g *globals) *cobra.Command {
	return task{use: "status", short: "Show where this device stands: what is here alone, what waits, what is in doubt", example: "  turnrow status\n  turnrow status --json", work: status}.command(g)
}

func status(k *call) error {
	a := k.report().Status()
	lines := k.statusHead(a)
	for i, d := range a.Drills {
		line := "drill " + d.Drill + ": not ready (turnrow hitch show)"
		if d.Ready {
			line = "drill " + d.Drill + ": READY, " + k.knows()
		}
		if d.Reading != nil {
			line += ", counter at " + k.view().Drills[i].Reading.Reading.String()
		}
		lines = append(lines, line)
	}
	server := "No server: this farm works alone (turnrow at gives it one)."
	if a.Server != "" {
		server = "Server at " + a.Server + "."
	}
	if at, _ := k.farm.Met(); !at.IsZero() {
		server += " Last met the others " + k.clock(at.UnixMilli()) + "."
	}
	lines = append(append(append(lines, server), k.atTheDoor()...), append(k.openLines(), a.Clocks...)...)
	if a.Waits {
		lines = append(lines, k.countsLater())
	}
	return k.show(a, append(lines, k.pendingLines()...))
}

func (k *call) statusHead(a answer.Status) []string {
	switch {
	case k.farm.Device().IsZero():
		return []string{fmt.Sprintf("%s: %s here, from a backup. This device needs an invite before it can write: turnrow join INVITE.", a.FarmName, counted(a.Entries, "note")), noOwnerLeft + "."}
	case a.Waits:
		return k.standing()
	case a.Person == "":
		return []string{"The farm's record is not here yet: turnrow sync fetches it."}
	}
	return append([]string{fmt.Sprintf("%s: %s here. This device is %s's (%s).", a.FarmName, counted(a.Entries, "note"), a.Person, a.Role)}, k.standing()...)
}
