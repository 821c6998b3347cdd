package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
)

func newSyncCommand(g *globals) *cobra.Command {
	return task{
		use: "sync", short: "Exchange the record with the server, or with a device that meets",
		long: `Exchange the record with the farm's server: what is only here goes there, what
is only there comes here. With --with, exchange with another device instead,
that runs "turnrow meet" on the same network. With --watch, keep exchanging as
notes come, here and there, until interrupted; it goes on by itself after a
lost link.

Where the server is away, nothing is lost: what was recorded stays here until
the next exchange.`,
		example: `  turnrow sync
  turnrow sync --watch
  turnrow sync --with 192.168.43.1:7868`,
		flags: func(f *pflag.FlagSet) {
			f.Bool("watch", false, "keep exchanging until interrupted")
			f.String("with", "", "HOST:PORT of a device that meets")
		},
		work: syncNow,
	}.command(g)
}

func syncNow(k *call) error {
	watch, err := k.cmd.Flags().GetBool("watch")
	switch with := k.Text("with"); {
	case err != nil:
		return err
	case watch && with != "":
		return wrongCall{errors.New("--watch is for the server, --with for another device: give one")}
	case watch:
		return k.watch()
	case with != "":
		return k.exchange(func(ctx context.Context) (client.SyncResult, error) {
			r, err := k.farm.SyncWith(ctx, with)
			if errors.Is(err, client.ErrAway) {
				err = notThere{err} // asked for by name, it is a failure
			}
			return r, err
		})
	}
	return k.exchange(k.farm.Sync)
}

// notThere is a device that was asked for and could not be reached.
type notThere struct{ error }

func (n notThere) Error() string {
	return n.error.Error() + ": is turnrow meet running there, and are both on one network?"
}

// exchange carries out one exchange and shows what came of it. A server that is
// away is no failure: what was recorded is on this device.
func (k *call) exchange(do func(context.Context) (client.SyncResult, error)) error {
	var r client.SyncResult
	err := k.slowly("exchanging", func(*progress) (err error) {
		r, err = do(k.cmd.Context())
		return err
	})
	if err != nil && !errors.Is(err, client.ErrAway) {
		return k.notTaken(err)
	}
	return k.showSync(r, err)
}

// newAtCommand is at, which gives the farm a server.
func newAtCommand(g *globals) *cobra.Command {
	return task{
		use: "at ADDRESS", short: "Give the farm a server, or the server's new address",
		example: `  turnrow at "turnrow://192.168.1.10:7867/?pin=...&code=..."`,
		args:    exactly(1),
		long: `Give the farm a server, or the server's new address. Where an owner's device
gives it one, the server becomes the farm's porter: it lets in, at once, whoever
has an invite in time, never as an owner. --no-porter leaves that to owners'
devices.`,
		flags: noPorterFlag,
		work: func(k *call) error {
			o := client.AtOptions{NoPorter: k.Yes("no-porter")}
			return k.exchange(func(ctx context.Context) (client.SyncResult, error) { return k.farm.At(ctx, k.args[0], o) })
		},
	}.command(g)
}

func (k *call) showSync(r client.SyncResult, away error) error {
	if away != nil {
		k.warn(k.away(away)[0])
	}
	var lines, more []string
	if len(r.Admitted) > 0 {
		k.lookAnew() // the names came with what was taken in
	}
	if away == nil {
		lines = k.exchanged(r)
	}
	a := k.report().Synced(r, away)
	if r.Anew {
		lines = append(lines, "The other side had started anew: all was offered to it again.")
	}
	if r.Porter {
		lines = append(lines, porterHelp)
	}
	lines = append(lines, letInLines(a.Admitted)...)
	a.Refused, more = k.refused(r.Refused)
	lines = append(append(append(lines, more...), k.atTheDoor()...), a.Clocks...)
	return k.show(a, append(lines, k.onlyHere()...))
}

// letIn names devices that were let in.
func (k *call) letIn(ids []entry.DeviceID) []string {
	if len(ids) > 0 {
		k.lookAnew() // the names came with what was taken in
	}
	return k.report().LetIn(ids)
}

func letInLines(names []string) []string {
	if len(names) == 0 {
		return nil
	}
	return []string{"Let in on an invite: " + strings.Join(names, ", ") + "."}
}

// exchanged says what went and what came.
func (k *call) exchanged(r client.SyncResult) []string {
	line := fmt.Sprintf("Sent %s, received %d.", counted(r.Sent, "note"), r.Received)
	if r.Sent+r.Received == 0 {
		line = "Nothing was new, here or there."
	}
	if !k.more {
		return []string{line}
	}
	return []string{line, fmt.Sprintf("%s, %s out, %s in", counted(r.RoundTrips, "round trip"), bytesText(r.BytesOut), bytesText(r.BytesIn))}
}

func bytesText(n int64) string {
	const kilo, mega = 1000, 1000 * 1000
	switch {
	case n >= mega:
		return fmt.Sprintf("%.1f MB", float64(n)/mega)
	case n >= kilo:
		return fmt.Sprintf("%.1f kB", float64(n)/kilo)
	}
	return fmt.Sprintf("%d B", n)
}

// watch exchanges as entries come, until it is interrupted, with the door open
// for other commands.
func (k *call) watch() error {
	ctx, stop := interrupted(k.cmd.Context())
	defer stop()
	done, err := k.openDoor(ctx, k.home)
	if err != nil {
		return err
	}
	defer done()
	follow := make(chan error, 1)
	go func() { follow <- k.follow(ctx) }()
	err = k.onFarm(func(f *client.Farm) error { return f.Run(ctx) })
	stop()
	return errors.Join(err, <-follow)
}

// follow prints how the record stands, and again when it has changed.
func (k *call) follow(ctx context.Context) error {
	var last answer.Watched
	return k.onFarm(func(f *client.Farm) error {
		for v := range f.Changes(ctx) {
			now := answer.Watched{Entries: v.Entries, Waiting: v.Waiting, Pending: f.Pending(), Doubts: v.Open}
			if now == last {
				continue
			}
			last = now
			if err := k.show(now, []string{watchLine(now)}); err != nil {
				return err
			}
		}
		if ctx.Err() == nil {
			return client.ErrClosed
		}
		return nil
	})
}

func watchLine(w answer.Watched) string {
	return counted(w.Entries, "note") + fmt.Sprintf(", %s, %d on this device only", counted(w.Doubts, "open doubt"), w.Pending)
}

// interrupted is a context that ends when the program is told to stop.
func interrupted(ctx context.Context) (context.Context, context.CancelFunc) {
	return signal.NotifyContext(ctx, syscall.SIGINT, syscall.SIGTERM)
}
