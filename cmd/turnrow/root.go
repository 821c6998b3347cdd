package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/sync/units"
)

// globals are what every command shares.
type globals struct {
	home   string // the device's store; see homeDir
	json   bool
	system units.System
	as     string // who acts, where it is not the device's own person
	drill  string // which drill, where a farm has several
	more   bool   // what few need is printed too
	yes    bool   // what is unlikely is written all the same, and stays in doubt
	out    io.Writer
	errs   io.Writer
	asked
	place
}

// Commands are listed in the order of a farm's life, and of a day.
func init() { cobra.EnableCommandSorting = false }

// newRoot is the program with all of its commands.
func newRoot(g *globals) *cobra.Command {
	root := group(&cobra.Command{
		Use:   "turnrow",
		Short: "The shared record of a seeding day, and its arithmetic",
		Long: `turnrow keeps a crew's record of a seeding day on this device, with or without
signal, and does the arithmetic that goes with it. Quantities are written as
people write them: "23 lb/ac", "7.5 in", 26g, 98%, "1.5 ha".

A record does not make a machine safe: in park, engine off, key out before
anyone steps between tractor and drill. The machine's manual, the seed's tag,
the law and trained supervision stand above what turnrow shows.`,
		SilenceErrors: true,
		SilenceUsage:  true,
	})
	root.SetOut(g.out)
	root.SetErr(g.errs)
	root.SetFlagErrorFunc(flagError)
	g.addFlags(root)
	g.addFarmCommands(root)
	markFailures(root)
	return root
}

func (g *globals) addFlags(root *cobra.Command) {
	f := root.PersistentFlags()
	f.StringVar(&g.home, "home", "", "folder of this device's store (default $TURNROW_HOME, or turnrow in the user's configuration folder)")
	f.BoolVar(&g.json, "json", false, "print one JSON object or array")
	f.BoolVarP(&g.more, "verbose", "v", false, "print what few need, too: bytes and round trips of an exchange")
	f.Var(systemFlag{&g.system}, "units", "units to print, and of bare numbers: us or metric (default: the farm's own, us without one)")
	f.Lookup("units").DefValue = "" // or the library would print a default of its own
	f.StringVar(&g.as, "as", "", "who acts (default: the device's own person)")
	f.BoolVar(&g.yes, "yes", false, "write without a question what is unlikely: it stays in doubt until someone settles it")
	f.StringVar(&g.drill, "drill", "", "which drill, where the farm has several")
	_ = root.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]cobra.Completion{"us", "metric"}, cobra.ShellCompDirectiveNoFileComp))
}

// homeDir is the folder of this device's store: --home, TURNROW_HOME, or
// turnrow in the user's configuration folder.
func (g *globals) homeDir() (string, error) {
	if g.home != "" {
		return g.home, nil
	}
	if dir := os.Getenv("TURNROW_HOME"); dir != "" {
		return dir, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no home folder: give --home or TURNROW_HOME: %w", err)
	}
	return filepath.Join(dir, "turnrow"), nil
}

// systemFlag is a units.System as a flag.
type systemFlag struct{ system *units.System }

func (s systemFlag) String() string {
	if s.system == nil {
		return units.US.String()
	}
	return s.system.String()
}

func (s systemFlag) Type() string { return "us|metric" }

func (s systemFlag) Set(text string) (err error) {
	*s.system, err = units.ParseSystem(text)
	return err
}

// group makes a command whose work is in its sub-commands: alone it prints its
// help, and an unknown sub-command is a wrong call that names the nearest.
func group(c *cobra.Command) *cobra.Command {
	c.Args = func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		text := fmt.Sprintf("unknown command %q for %q", args[0], c.CommandPath())
		if near := c.SuggestionsFor(args[0]); len(near) > 0 {
			text += "; nearest: " + strings.Join(near, ", ")
		} else {
			text += ": " + c.CommandPath() + " --help lists them"
		}
		return wrongCall{errors.New(text)}
	}
	c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
	c.SuggestionsMinimumDistance = 2
	return c
}
