package main

import (
	"errors"
	"fmt"
	"os"
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newRecoverCommand(g *globals) *cobra.Command {
	return task{
		use: "recover CODE", short: "Take a farm back with the code on paper; this device becomes an owner's above all others",
		long: `Take a farm back with the code that was written on paper when it was founded:
where the founding device was lost or stolen, or an owner's device that stands
above yours is in the wrong hands, and may have stopped yours. This device becomes
the founding owner's, and stands above all that were there before: what it stops is
stopped. Look at "turnrow crew" next, and stop what has to go: with --since, what
was written in the wrong hands is void, and whom it stopped is back.

The next code is printed, once. Write that on paper, and burn the used one: it
still makes an owner of whoever finds it, until a device of the next code stops
that.

A new home gets the farm's record with the first exchange; one that holds it
already keeps it.`,
		example: `  turnrow recover "turnrow://192.168.1.10:7867/?farm=...&paper=..." --device "Ada's new phone"
  turnrow recover "turnrow://192.168.1.10:7867/?farm=...&paper=..." --device "Ada's new phone" --stop "Ada's old phone"`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("at", "", "address of the farm's server, where that is another by now")
			f.String("with", "", "HOST:PORT of a device that meets, to get the record from")
			f.String("from", "", "file of a \"turnrow carry out\", to get the record from")
			f.String("stop", "", "the device that has to go: it is stopped at once")
			f.String("device", "", "what to call this device (default: this computer's name)")
			qrFlags(f, "the next code on paper")
		},
		noFarm: true,
		work:   recoverFarm,
	}.command(g)
}

func recoverFarm(k *call) error {
	name := k.deviceName()
	if err := safetext.Check(name); err != nil {
		return k.whereObeyed(err)
	}
	r, err := k.home.Recover(k.cmd.Context(), k.args[0], name)
	if err != nil {
		return err
	}
	k.farm = r.Farm
	code, err := k.codeOnPaper(r.Paper)
	if err != nil {
		return err
	}
	// From here on the next code counts: what fails is said beside it.
	if err := k.fetchRecord(); err != nil {
		r.Away = err
	}
	stopped, err := k.stopRecovered()
	if err != nil {
		k.warn("nobody is stopped yet: " + plain(err))
	} else if stopped != "" && r.Away == nil {
		r.Away = k.publish()
	}
	lines := append(k.recoveredLines(r.FarmName, stopped), k.away(r.Away)...)
	lines = append(lines, code...)
	return k.show(answer.Recovered{Entry: entry.ID{Log: r.Farm.Device().Log(), Seq: 1}.String(), Farm: r.Farm.ID().String(), Device: r.Farm.Device().String(), Away: report.IsAway(r.Away), Recovery: r.Paper}, lines)
}

// recoveredLines say whose this device is now, and what to do next.
func (k *call) recoveredLines(farm, stopped string) []string {
	whose := "an owner's"
	if name := k.farm.View().NameOf(k.farm.Person()); !k.farm.Person().IsZero() {
		whose = name + "'s, an owner's"
	}
	lines := []string{"This device is " + whose + " of " + farm + ", above all others."}
	if stopped != "" {
		lines = append(lines, stopped+" is stopped.")
	}
	return append(lines, "Next: turnrow crew shows who belongs. turnrow stop DEVICE --since NOTE ends what is in the wrong hands: what it wrote from that note on (turnrow log) is void, and whom it stopped is back.",
		"Burn the code that you used: whoever finds it becomes an owner, too. Where that happened, turnrow recover with the next code ends it.")
}

// fetchRecord gets the record from where the call says.
func (k *call) fetchRecord() (err error) {
	ctx := k.cmd.Context()
	switch {
	case k.Has("at"):
		_, err = k.farm.At(ctx, k.Text("at"), client.AtOptions{})
	case k.Has("with"):
		_, err = k.farm.SyncWith(ctx, k.Text("with"))
	case k.Has("from"):
		var f *os.File
		if f, err = os.Open(k.path(k.Text("from"))); err == nil {
			_, err = k.farm.CarryIn(f)
			err = errors.Join(err, f.Close())
		}
	}
	return err
}

// stopRecovered stops the device that --stop names, where nobody else goes with
// it, and gives its name.
func (k *call) stopRecovered() (string, error) {
	if !k.Has("stop") {
		return "", nil
	}
	k.lookAnew()
	i := slices.IndexFunc(k.devices(), func(d farm.Device) bool { return d.Name == k.Text("stop") || d.ID.String() == k.Text("stop") })
	if i < 0 {
		return "", fmt.Errorf("%s is no device that is known here: turnrow crew shows all, once the record is here", k.Text("stop"))
	}
	s := client.Stopping{Device: k.devices()[i].ID, Why: "taken back with the code on paper"}
	p, err := k.farm.StopPreview(s)
	if err == nil && p.Asks() {
		err = fmt.Errorf("others would go with it: turnrow stop %q says who", k.Text("stop"))
	}
	if err == nil {
		_, err = k.farm.Stop(k.cmd.Context(), s)
	}
	return k.devices()[i].Name, err
}
