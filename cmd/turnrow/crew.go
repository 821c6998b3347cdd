package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newCrewCommand(g *globals) *cobra.Command {
	c := task{use: "crew", short: "Show people and their devices", long: `Show people and their devices: who belongs, who was stopped, who waits to be let
in and on what ground, and whether the server lets people in.`, example: "  turnrow crew\n  turnrow crew --json", work: showCrew}.command(g)
	role := task{use: "role PERSON ROLE", short: "Change what a person may do, or take one who was stopped into the crew again", args: exactly(2), completes: crewNames,
		example: "  turnrow crew role Cal operator", work: changeRole}.command(g)
	role.ValidArgsFunction = completeRole(role.ValidArgsFunction)
	c.AddCommand(
		newAdmitCommand(g), newRefuseCommand(g), role,
		task{use: "stop PERSON --why T", short: "End a person's part in the crew, and their devices'", args: exactly(1), completes: crewNames,
			long: `End a person's part in the crew, with every device of that person's. What is
known here of those devices stands; what comes from them later is kept apart.
"turnrow crew role PERSON ROLE" takes the person into the crew again.`,
			example: `  turnrow crew stop Cal --why "season over"`,
			flags: func(f *pflag.FlagSet) {
				f.String("why", "", "why")
				f.Bool("bring-back", false, "let in again whoever would be put out besides")
			}, work: stopMember}.command(g),
	)
	return c
}

// completeRole offers people first, then what they may do.
func completeRole(people cobra.CompletionFunc) cobra.CompletionFunc {
	roles := cobra.FixedCompletions([]cobra.Completion{"owner", "operator", "helper", "viewer"}, cobra.ShellCompDirectiveNoFileComp)
	return func(c *cobra.Command, args []string, begun string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return roles(c, args, begun)
		}
		return people(c, args, begun)
	}
}

func showCrew(k *call) error {
	answers := k.report().Crew()
	var rows [][]string
	for i, m := range k.view().Crew {
		a := answers[i]
		role := a.Role
		if m.Stopped {
			role += ", stopped"
		}
		if len(a.Devices) == 0 {
			rows = append(rows, []string{m.Name, role, "no device yet", "", ""})
		}
		for _, d := range a.Devices {
			rows = append(rows, []string{m.Name, role, d.Name, d.Device, deviceStanding(d, m.Role)})
		}
	}
	lines := append(table([]string{"who", "role", "device", "", ""}, rows), k.apart()...)
	return k.show(answers, append(lines, k.onlyHere()...))
}

func deviceStanding(d answer.Device, whose entry.Role) string {
	text := counted(d.Entries, "note")
	switch {
	case d.Stopped:
		text += ", stopped"
	case d.Role != whose.String():
		text += ", as " + d.Role
	}
	return text
}

func changeRole(k *call) error {
	role, ok := entry.ParseRole(k.args[1])
	if !ok {
		return wrongCall{fmt.Errorf("%q is no role: owner, operator, helper or viewer is wanted", k.args[1])}
	}
	id, err := k.anyMember(k.args[0])
	if err != nil {
		return err
	}
	if k.ownRole() != entry.Owner {
		return client.ErrOwner
	}
	if role < entry.Owner {
		if err := k.lastOwner(k.losesOwners(id), k.view().NameOf(id)+" becomes "+a(role.String())); err != nil {
			return err
		}
	}
	return k.wrote(client.SetRole{Member: id, Role: role})
}

// anyMember is a person of the crew, stopped or not: a role takes one who was
// stopped into the crew again.
func (k *call) anyMember(name string) (entry.ID, error) {
	id, err := k.member(name)
	for _, m := range k.view().Crew {
		if err != nil && m.Stopped && strings.EqualFold(m.Name, name) {
			return m.ID, nil
		}
	}
	return id, err
}

func stopMember(k *call) error {
	k.need("why")
	if err := k.wrong(); err != nil {
		return err
	}
	id, err := k.member(k.args[0])
	if err != nil {
		return err
	}
	return k.stop(client.Stopping{Member: id, Why: k.Text("why"), Readmit: k.Yes("bring-back")})
}

func newTakeInCommand(g *globals) *cobra.Command {
	return task{
		use: "take-in DEVICE --why T", short: "Take in what a stopped device wrote after its stop, as far as it is here",
		long: `Take in what a stopped device wrote after its stop, as far as it is here: fills,
catches, readings, notes and such. What it says of the crew, and its signatures,
releases and settlements, stay out.`,
		example: `  turnrow take-in "Cal's phone" --why "found it in the barn; what it says is right"`,
		args:    exactly(1), completes: deviceNames, flags: func(f *pflag.FlagSet) { f.String("why", "", "why") },
		work: func(k *call) error {
			d, err := k.device()
			if err != nil {
				return err
			}
			return k.wrote(client.TakeIn{Device: d.ID, Why: k.Text("why")})
		},
	}.command(g)
}

// device finds a device by its name or its UUID, and asks for --why.
func (k *call) device() (farm.Device, error) {
	k.need("why")
	if err := k.wrong(); err != nil {
		return farm.Device{}, err
	}
	return meant(k.find().Device(k.args[0]))
}
