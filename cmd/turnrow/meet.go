package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
)

func newMeetCommand(g *globals) *cobra.Command {
	return task{
		use: "meet", short: "Serve the record to another device on the same network",
		long: `Serve the record to other devices of the farm on the same network, such as a
phone's hotspot, until interrupted. The other runs "turnrow sync --with" with
the address that is printed. Neither needs the server, or a pin: each knows the
other's key from the record.`,
		example: `  turnrow meet
  turnrow meet --listen 192.168.43.1:7868`,
		flags: func(f *pflag.FlagSet) {
			f.String("listen", client.DefaultMeet, "HOST:PORT to listen on; port 0 is any free one")
		},
		work: meet,
	}.command(g)
}

func meet(k *call) error {
	ctx, stop := interrupted(k.cmd.Context())
	defer stop()
	done, err := k.openDoor(ctx, k.home)
	if err != nil {
		return err
	}
	defer done()
	var shown error
	err = k.onFarm(func(f *client.Farm) error {
		return f.Meet(ctx, k.Text("listen"), func(address string) {
			far := k.report().Clocks()
			shown = k.show(answer.Meeting{Address: address, Clocks: far}, append([]string{"Meeting at " + address + "; the other runs: turnrow sync --with " + address}, far...))
		})
	})
	if errors.Is(err, client.ErrListen) {
		err = fmt.Errorf("--listen: %w", plainListen(k.Text("listen"), err))
	}
	return errors.Join(err, shown)
}
