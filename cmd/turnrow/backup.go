package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"turnrow/client"
	"turnrow/client/answer"
)

func newBackupCommand(g *globals) *cobra.Command {
	return task{
		use: "backup FILE", short: "Copy the record into a file, while it is in use",
		long: `Copy the record into a file, while it is in use. The file holds everything but
this device's key: a device that is restored from it reads at once, and takes a
new identity, by an invite, before it writes.`,
		example: "  turnrow backup windgap-2026-09-14.turnrow", args: exactly(1),
		work: func(k *call) error {
			n, err := k.farm.Backup(k.path(k.args[0]))
			if err != nil {
				return err
			}
			return k.show(answer.Copied{Entries: n}, []string{fmt.Sprintf("%s in %s.", counted(n, "note"), k.args[0])})
		},
	}.command(g)
}

func newRestoreCommand(g *globals) *cobra.Command {
	return &cobra.Command{
		Use: "restore FILE", Short: "Make this home from a backup", Args: exactly(1),
		Long: `Make this home from a backup. The home must be empty. It reads at once; before it
can write it needs an identity of its own: ask an owner for an invite, and join.`,
		Example: "  turnrow restore windgap-2026-09-14.turnrow --home ~/turnrow-restored",
		RunE: func(c *cobra.Command, args []string) error {
			if g.held != nil {
				return errors.New("this home is in use")
			}
			home, err := g.homeDir()
			if err != nil {
				return err
			}
			n, err := client.Restore(g.path(args[0]), home)
			if err != nil {
				return err
			}
			return g.show(answer.Copied{Entries: n}, []string{fmt.Sprintf("%s restored. This device needs an invite before it writes: turnrow join INVITE. %s.", counted(n, "note"), noOwnerLeft)})
		},
	}
}

// dirOf is the folder that a file lies in.
func dirOf(name string) string { return filepath.Dir(name) }
