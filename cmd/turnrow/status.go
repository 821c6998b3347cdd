package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
)

func newStatusCommand(g *globals) *cobra.Command {
	return task{use: "status", short: "Show where this device stands: what is pending, waiting, in doubt", example: "  turnrow status\n  turnrow status --json", work: status}.command(g)
}

func status(k *call) error {
	v := k.view()
	a := answer.Status{Farm: v.Farm.String(), FarmName: v.Name, Device: k.farm.Device().String(), Person: v.NameOf(k.farm.Person()),
		Server: k.farm.Server(), Entries: v.Entries, Pending: k.farm.Pending(), Waiting: v.Waiting, Doubts: v.Open, Clocks: k.clocks(), Drills: []answer.DrillStatus{}}
	a.Waits, a.Stopped, a.Copied, a.Asking = k.waits(), k.stopped(), k.farm.Copied(), len(k.farm.Asking())
	for _, m := range v.Crew {
		if m.ID == k.farm.Person() {
			a.Role = m.Role.String()
		}
	}
	lines := k.statusHead(a)
	for _, d := range v.Drills {
		s := answer.DrillStatus{Drill: d.Name, Ready: d.Hitch.Ready}
		line := "drill " + d.Name + ": not ready (turnrow hitch show)"
		if s.Ready {
			line = "drill " + d.Name + ": READY, " + k.knows()
		}
		if d.Reading != nil {
			s.Reading = answer.Some(d.Reading.Reading.Float())
			line += ", counter at " + d.Reading.Reading.String()
		}
		a.Drills, lines = append(a.Drills, s), append(lines, line)
	}
	server := "No server: this farm works alone (turnrow at gives it one)."
	if a.Server != "" {
		server = "Server at " + a.Server + "."
	}
	if at, _ := k.farm.Met(); !at.IsZero() {
		a.Met = k.metWall()
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
