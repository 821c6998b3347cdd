package main

import (
	"errors"
	"os"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/sync/exchange"
	"turnrow/sync/units"
)

func newFoundCommand(g *globals) *cobra.Command {
	return task{
		use: "found --farm NAME --owner PERSON", short: "Start a farm; this device is its owner's",
		long: `Start a farm. This device makes its own key and is the owner's. Without --at
the farm works alone until "turnrow at" gives it a server; with --at it gets the
server that printed the founding address.

Found the farm on the device that stays at home: it stands above all that come later, and
only the code on paper ends it. That code is printed once, here. Write it down on
paper and keep it off every device.`,
		example: `  turnrow found --farm Windgap --owner Ada
  turnrow found --farm Windgap --owner Ada --at "turnrow://192.168.1.10:7867/?pin=...&code=..."
  turnrow found --farm Windgap --owner Ada --units metric --money € --time-zone Europe/Dublin`,
		flags: func(f *pflag.FlagSet) {
			f.String("farm", "", "the farm's name")
			f.String("owner", "", "the owner's name: whose device this is")
			f.String("at", "", "founding address of a server, as turnrowd prints it")
			f.String("device", "", "what to call this device (default: this computer's name)")
			f.String("time-zone", "", "the farm's time zone, as America/New_York (default: this device's)")
			f.String("money", "$", "the sign of the farm's money")
			noPorterFlag(f)
			qrFlags(f, "the code on paper")
		},
		noFarm: true,
		work:   found,
	}.command(g)
}

func found(k *call) error {
	k.need("farm", "owner")
	o := client.FoundOptions{
		Farm: k.Text("farm"), Owner: k.Text("owner"), At: k.Text("at"), TimeZone: k.timeZone(),
		Metric: k.units() == units.Metric, MoneySign: k.Text("money"), DeviceName: k.deviceName(), NoPorter: k.Yes("no-porter"),
	}
	if err := k.wrong(); err != nil {
		return err
	}
	f, err := k.home.Found(k.cmd.Context(), o)
	if err != nil {
		return k.whereObeyed(err)
	}
	k.farm = f.Farm
	lines := []string{o.Farm + " is founded; this device is " + o.Owner + "'s."}
	code, err := k.codeOnPaper(f.Paper)
	if err != nil {
		return err
	}
	if f.Porter {
		lines = append(lines, porterHelp)
	}
	lines = append(append(lines, k.away(f.Away)...), code...)
	return k.show(answer.Founding{Founded: answer.Founded{Farm: f.Farm.ID().String(), Device: f.Farm.Device().String(), Person: o.Owner, Away: report.IsAway(f.Away)}, Recovery: f.Paper}, lines)
}

// porterHelp says what a porter is.
const porterHelp = "The server is the farm's porter: it lets in, at once, whoever has an invite in time; never as an owner. turnrow crew shows it, and how to end that."

func noPorterFlag(f *pflag.FlagSet) {
	f.Bool("no-porter", false, "the server lets nobody in by itself: only owners' devices do")
}

// codeOnPaper is what is said of the code on paper, with its QR code where a
// person looks on or asks for it.
func (k *call) codeOnPaper(code string) ([]string, error) {
	drawn, err := k.drawCode(code)
	if err != nil {
		return nil, err
	}
	lines := []string{"", "THE CODE ON PAPER. Write it down on paper now, or print it, and keep it off every device. It is not shown again.",
		"Whoever has it has the farm, and only it ends a stolen founding device: turnrow recover.", ""}
	return append(append(lines, drawn...), code), nil
}

// deviceName is what this device is to be called.
func (k *call) deviceName() string {
	if k.Has("device") {
		return k.Text("device")
	}
	name, _ := os.Hostname()
	return name
}

func (k *call) timeZone() string {
	zone := k.Text("time-zone")
	if zone == "" {
		if zone = time.Local.String(); zone == "Local" {
			return ""
		}
		return zone
	}
	if _, err := time.LoadLocation(zone); err != nil {
		k.fail("--time-zone: unknown time zone %q; a name such as America/New_York is wanted", zone)
	}
	return zone
}

// away says why an exchange with the server did not come about, or not to its
// end, and that nothing is lost. A server that answered is not called away.
func (k *call) away(err error) []string {
	if err == nil {
		return nil
	}
	why, more := oneLine(err.Error()), ""
	if k.more {
		more = " (" + why + ")"
	}
	line := "The server answered, and did not take this yet (" + why + "): all is written down here; turnrow sync tries again."
	switch {
	case errors.Is(err, exchange.ErrStopped):
		line = "The server took nothing (" + why + "): " + stoppedThere + "."
	case errors.Is(err, client.ErrBrokeOff):
		line = "The server answered, then the link was lost" + more + ": what went is there, all is written down here, and turnrow sync goes on with the rest."
	case report.IsAway(err):
		line = "The server is away" + more + ": all is written down here, and goes there with the next turnrow sync."
	}
	return append([]string{line}, k.onlyHere()...)
}
