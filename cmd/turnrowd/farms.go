package main

import (
	"encoding/hex"
	"fmt"

	"github.com/spf13/cobra"

	"turnrow/server"
	"turnrow/sync/units"
)

// farmAnswer is what a server holds of one farm.
type farmAnswer struct {
	Farm    string `json:"farm"`
	Name    string `json:"name"`
	Devices int    `json:"devices"`
	Entries uint64 `json:"entries"`
	Digest  string `json:"digest"`
}

func (a farmAnswer) holds() string {
	return units.Counted(fmt.Sprint(a.Entries), "note") + " of " + units.Counted(fmt.Sprint(a.Devices), "device")
}

func newFarmsCommand(o *output) *cobra.Command {
	c := &cobra.Command{
		Use: "farms --data DIR", Short: "Show what a stopped server holds of each farm", Args: cobra.NoArgs,
		Example: "  turnrowd farms --data /var/lib/turnrow --json",
	}
	data := dataFlag(c)
	c.RunE = func(*cobra.Command, []string) error {
		answers, err := farms(*data)
		if err != nil {
			return err
		}
		var lines []string
		for _, a := range answers {
			lines = append(lines, fmt.Sprintf("%s  %s: %s, digest %s", a.Farm, a.Name, a.holds(), a.Digest))
		}
		if len(lines) == 0 {
			lines = []string{"no farm has been founded here yet"}
		}
		return o.show(answers, lines...)
	}
	return c
}

func farms(data string) ([]farmAnswer, error) {
	list, err := server.Farms(data)
	answers := []farmAnswer{}
	for _, f := range list {
		answers = append(answers, farmAnswer{f.Farm.String(), f.Name, f.Devices, f.Entries, hex.EncodeToString(f.Digest[:])})
	}
	return answers, err
}

func newDigestCommand(o *output) *cobra.Command {
	c := &cobra.Command{
		Use: "digest --data DIR", Short: "Show the digest of the farm that a stopped server holds", Args: cobra.NoArgs,
		Long: `Show the digest of the farm that a stopped server holds: equal to that of a
device which holds the same notes. Where there are several farms, --farm says
which.`,
		Example: "  turnrowd digest --data /var/lib/turnrow --json",
	}
	data := dataFlag(c)
	farm := c.Flags().String("farm", "", "the farm, by its name or number")
	c.RunE = func(*cobra.Command, []string) error {
		answers, err := farms(*data)
		if err != nil {
			return err
		}
		a, err := pick(answers, *farm)
		if err != nil {
			return err
		}
		return o.show(a, a.Digest, a.Name+": "+a.holds())
	}
	return c
}

// pick is the farm of a name or number, or the only one.
func pick(answers []farmAnswer, farm string) (farmAnswer, error) {
	var found []farmAnswer
	for _, a := range answers {
		if farm == "" || a.Farm == farm || a.Name == farm {
			found = append(found, a)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return farmAnswer{}, fmt.Errorf("no farm %s here: turnrowd farms lists them", farm)
	}
	return farmAnswer{}, fmt.Errorf("there are %d such farms here: say which with --farm and its number", len(found))
}
