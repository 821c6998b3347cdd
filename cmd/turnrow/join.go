package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
)

func newJoinCommand(g *globals) *cobra.Command {
	return task{
		use: "join INVITE", short: "Join a farm with an invite",
		long: `Join a farm with an invite, as "turnrow invite" printed it. This device makes
its own key, which never leaves it. It can record at once, also where the server
is away. What it records counts once the device was let in: by the server, or by
an owner's device when the two meet. Then the farm's record comes here, too.

A device that is a copy, or was put back from a backup, joins in the home where
it is: what is there stays, and it writes on under a name of its own.`,
		example: `  turnrow join "turnrow://192.168.1.10:7867/?farm=..." --device "Ben's phone"`,
		args:    exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("device", "", "what to call this device (default: this computer's name)")
		},
		noFarm: true,
		work:   join,
	}.command(g)
}

func join(k *call) error {
	name := k.deviceName()
	if err := safetext.Check(name); err != nil {
		return k.whereObeyed(err)
	}
	j, err := k.home.Join(k.cmd.Context(), k.args[0], name)
	if err != nil {
		return err
	}
	k.farm = j.Farm
	lines := []string{"This device is " + j.Person + "'s, of " + j.FarmName + "."}
	if j.Waits {
		lines = k.asksToJoin(j)
	}
	lines = append(lines, k.away(j.Away)...)
	if j.Away == nil {
		lines = append(lines, k.onlyHere()...)
	}
	return k.show(answer.Joined{Founded: answer.Founded{Farm: j.Farm.ID().String(), Device: j.Farm.Device().String(), Person: j.Person, Away: report.IsAway(j.Away)}, Admitted: !j.Waits}, lines)
}

// asksToJoin says that a device waits to be let in, and by whom that is done: a
// server that was reached has not done it.
func (k *call) asksToJoin(j client.Joined) []string {
	asks := "This device asks to be " + j.Person + "'s, of " + j.FarmName
	if j.Away != nil || k.farm.Server() == "" {
		return []string{asks + ": " + k.whoLetsIn() + " lets it in when the two meet."}
	}
	why := "the server did not let it in: its invite was used already, or the server is no porter."
	if inv, err := client.ParseInvite(k.args[0]); err == nil && inv.Role == entry.Owner {
		why = "the server lets no owner in."
	}
	return []string{asks + "; " + why,
		fmt.Sprintf("An owner's device does that when it has met this one (turnrow sync on both), or an owner says, there: turnrow crew admit %q.", k.own().Name)}
}
