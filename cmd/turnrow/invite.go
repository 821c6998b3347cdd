package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/sync/entry"
)

func newInviteCommand(g *globals) *cobra.Command {
	c := task{
		use: "invite PERSON --role owner|operator|helper|viewer", short: "Invite a person: one invite for one device",
		long: `Invite a person. The invite is for one device, once, and ends after a day;
whoever holds it can take it, so hand it over in person. Only an owner invites.

  owner     everything
  operator  moves dials, plans, signs the hitch, releases holds
  helper    fills, reads, notes, counts, catches
  viewer    reads
Anyone at all may raise a hold.`,
		example: `  turnrow invite Ben --role operator
  turnrow invite Cal --role helper --qr cal.png`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("role", "", "owner, operator, helper or viewer")
			qrFlags(f, "the invite")
		},
		work: invite,
	}.command(g)
	_ = c.RegisterFlagCompletionFunc("role", cobra.FixedCompletions(
		[]cobra.Completion{"owner", "operator", "helper", "viewer"}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func invite(k *call) error {
	k.need("role")
	role, ok := entry.ParseRole(k.Text("role"))
	if k.Has("role") && !ok {
		k.fail("--role: %q is no role: owner, operator, helper or viewer is wanted", k.Text("role"))
	}
	if err := k.wrong(); err != nil {
		return err
	}
	link, err := k.farm.Invite(k.cmd.Context(), k.args[0], role)
	if err != nil {
		return k.whereObeyed(err)
	}
	inv, err := client.ParseInvite(link)
	if err != nil {
		return err
	}
	lines, err := k.drawCode(link)
	if err != nil {
		return err
	}
	away := k.publish()
	until := inv.Expires.In(k.zone()).Format("15:04 on Monday 2 January")
	lines = append(lines, link, fmt.Sprintf("For %s, as %s, on one device, until %s. Whoever holds it can take it.", k.args[0], role, until))
	lines = append(lines, k.away(away)...)
	return k.show(answer.Invited{Invite: link, Person: k.args[0], Role: role.String(), Expires: inv.Expires.UTC().Format(timeFormat), Away: report.IsAway(away)}, lines)
}

// publish brings the invite to the server, where whoever takes it up will ask
// for it. It gives why it could not; a farm without a server needs none.
func (k *call) publish() error {
	const patience = 5 * time.Second
	ctx, cancel := context.WithTimeout(k.cmd.Context(), patience)
	defer cancel()
	if _, err := k.farm.Sync(ctx); !errors.Is(err, client.ErrNoServer) {
		return err
	}
	return nil
}

func qrFlags(f *pflag.FlagSet, what string) {
	f.String("qr", "", "write "+what+" as a QR code into this PNG file")
	f.Bool("show-qr", false, "draw the QR code here (the default at a terminal)")
}

// drawCode writes the QR code where it was asked for, and draws it where a
// person looks on.
func (k *call) drawCode(link string) ([]string, error) {
	if file := k.Text("qr"); file != "" {
		if err := writeQR(k.path(file), link); err != nil {
			return nil, err
		}
	}
	show, err := k.cmd.Flags().GetBool("show-qr")
	if err != nil || k.json || !show && !k.isTerminal() {
		return nil, err
	}
	return drawQR(link)
}
