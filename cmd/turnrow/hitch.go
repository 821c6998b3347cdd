package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// hitchCautions stand above every hitch that is begun or shown. Common
// practice; the machine's own manual stands above them.
var hitchCautions = []string{
	"Before anyone stands between tractor and drill: in park, engine off, key out.",
	"Block what is raised. Never feel for a hydraulic leak by hand. Follow the machine's manual.",
}

func newHitchCommand(g *globals) *cobra.Command {
	c := group(&cobra.Command{
		Use: "hitch", Short: "Hitching the drill: checks, holds, and whether it is ready",
		Long: `Hitching the drill. A hitch is begun on the farm's list of checks; each check is
signed by whoever saw to it. The drill is ready only when every required check
is signed for this hitch by someone allowed to, and no hold is open. Anyone may
raise a hold; only someone who knew of it can release it. Unhitching voids every
signature.

A record does not make a machine safe. ` + strings.Join(hitchCautions, "\n"),
	})
	why := func(f *pflag.FlagSet) { f.String("why", "", "why") }
	c.AddCommand(
		task{use: "begin", short: "Begin a hitch on the latest list of checks", example: "  turnrow hitch begin --tractor blue",
			flags: func(f *pflag.FlagSet) { f.String("tractor", "", "which tractor") }, work: hitchBegin}.command(g),
		task{use: "sign ITEM..", short: "Sign checks, by number or name: you saw to them yourself", args: atLeast(1),
			example:   "  turnrow hitch sign 1 2\n  turnrow hitch sign \"hoses tied clear\"",
			completes: checkNames, work: hitchSign}.command(g),
		task{use: "hold --why T", short: "Raise a hold: nobody works the drill until it is released",
			example: `  turnrow hitch hold --why "hose pinched"`, flags: why, work: hitchHold}.command(g),
		task{use: "release --why T", short: "Release the holds that this device knows of",
			example: `  turnrow hitch release --why "hose freed, looked at it"`,
			flags: func(f *pflag.FlagSet) {
				why(f)
				holdFlag(f)
			}, work: hitchRelease}.command(g),
		task{use: "seen", short: "Say that you have seen the open holds, to whoever raised them",
			long: `Say that you have seen the open holds, for whoever raised them to read. It
releases nothing: the drill is not ready until a hold is released.`,
			example: `  turnrow hitch seen`, flags: holdFlag, work: hitchSeen}.command(g),
		task{use: "unhitch", short: "End the hitch: every signature is void",
			example: "  turnrow hitch unhitch --why \"done for the day\"", flags: why, work: unhitch}.command(g),
		task{use: "road", short: "Record that the drill is made up for the road", flags: noteFlag,
			example: `  turnrow hitch road --note "lights and markers on"`,
			work:    func(k *call) error { return k.moveDrill(entry.Transport) }}.command(g),
		task{use: "field", short: "Record that the drill is made up for the field, transport locks out", flags: noteFlag,
			example: "  turnrow hitch field",
			work:    func(k *call) error { return k.moveDrill(entry.InField) }}.command(g),
		task{use: "show", short: "Show whether the drill is ready, and what stands against it",
			example: "  turnrow hitch show\n  turnrow hitch show --json", work: hitchShow}.command(g),
	)
	return c
}

func holdFlag(f *pflag.FlagSet) {
	f.StringArray("hold", nil, "only this hold, by its number; may be given again")
}

func noteFlag(f *pflag.FlagSet) { f.String("note", "", "what else there is to say") }

func hitchBegin(k *call) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	ids, err := k.do(client.Hitch{Drill: d.ID, Tractor: k.Text("tractor")})
	if err != nil {
		return err
	}
	latest, _ := client.LatestChecks(k.farm.View())
	lines := slices.Clone(hitchCautions)
	for i, it := range latest.Items {
		lines = append(lines, checkLine(int64(i+1), it.Name, it.Required, "to sign"))
	}
	return k.claimed(ids, claim{"NOT BEGUN", "the hitch is not begun", "begin it"}, append(lines, k.tell(ids...)...))
}

func checkLine(n int64, name string, required bool, state string) string {
	line := fmt.Sprintf("%3d  %s: %s", n, name, state)
	if !required {
		line += " (not required)"
	}
	return line
}

// hitchSign signs several checks at once, all or none.
func hitchSign(k *call) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	if d.Hitch.Begun.IsZero() {
		return errors.New("no hitch is begun: turnrow hitch begin")
	}
	list, ok := k.checklist(d.Hitch.Checks)
	if !ok {
		return errors.New("the list of checks that this hitch was begun on is not here yet: turnrow sync")
	}
	sign := client.Sign{Drill: d.ID, Hitch: d.Hitch.Begun}
	for _, arg := range k.args {
		n, err := meant(fields.Check(list, arg))
		if err != nil {
			return k.newer(d.Hitch, arg, err)
		}
		sign.Items = append(sign.Items, n)
	}
	ids, err := k.do(sign)
	if err != nil {
		return err
	}
	return k.claimed(ids, claim{"NOT SIGNED", "the signature does not count", "sign"}, append(k.tell(ids...), k.readyLines(d.ID)...))
}

// newer says of a check that the hitch's own list lacks where it stands on a
// newer one.
func (k *call) newer(h farm.Hitch, text string, err error) error {
	for _, name := range h.New {
		if strings.HasPrefix(strings.ToLower(name), strings.ToLower(text)) {
			return fmt.Errorf("%s is on a newer list than this hitch was begun on: turnrow hitch begin begins it again, on that list", name)
		}
	}
	return err
}

// claim is how it is said that what somebody wrote does not count.
type claim struct {
	not  string // first of all, as "NOT SIGNED"
	lost string // as the call's error
	do   string // what somebody who may has to do
}

// claimed shows what was written about a hitch, or to settle a doubt. What does not count is kept,
// but the call has failed: nobody is to take it for what it claims.
func (k *call) claimed(ids []entry.ID, c claim, lines []string) error {
	a := answer.Claim{Entry: ids[0].String(), Counts: true}
	var void *words.Line
	for _, id := range ids {
		a.Entries = append(a.Entries, id.String())
		if l, err := k.line(id); err == nil && (l.LeftOut != "" || l.NotSigned()) {
			a.Counts, void = false, &l
		}
	}
	if a.Counts {
		return k.show(a, lines)
	}
	why := k.whyVoid(void, c)
	if err := k.show(a, append([]string{c.not + ": " + why + "."}, lines...)); err != nil {
		return err
	}
	return errors.New(c.lost + ": " + why)
}

// whyVoid says why what somebody wrote does not count, and who can write what
// does.
func (k *call) whyVoid(l *words.Line, c claim) string {
	if k.waits() {
		return "this device waits to be let in, and what it writes counts from then on"
	}
	next := ", and an operator or an owner has to " + c.do + ", on a device of their own"
	if role := k.roleOf(l.Person); role < entry.Operator {
		return l.By + " is " + a(role.String()) + next
	}
	if role := k.roleOf(k.farm.Person()); role < entry.Operator {
		return "this device is " + k.view().NameOf(k.farm.Person()) + "'s, " + a(role.String()) + next
	}
	if l.Void != "" {
		return l.Void
	}
	return client.WhyNot(*l)
}

// roleOf is what a person may do now.
func (k *call) roleOf(person entry.ID) entry.Role {
	for _, m := range k.view().Crew {
		if m.ID == person && !m.Stopped {
			return m.Role
		}
	}
	return entry.NoRole
}

// a puts the article before a word.
func a(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

func (k *call) checklist(id entry.ID) (farm.Checklist, bool) {
	for _, c := range k.view().Checks {
		if c.ID == id {
			return c, true
		}
	}
	return farm.Checklist{}, false
}

func hitchHold(k *call) error {
	k.need("why")
	if err := k.wrong(); err != nil {
		return err
	}
	d, err := k.theDrill()
	if err != nil && k.drill == "" && len(k.view().Drills) == 0 {
		err = nil // whoever says stop is heard, also where no drill is set yet
	}
	if err != nil {
		return err
	}
	return k.wrote(client.Hold{Drill: d.ID, Why: k.Text("why")})
}

func hitchRelease(k *call) error {
	k.need("why")
	if err := k.wrong(); err != nil {
		return err
	}
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	b := client.Release{Drill: d.ID, Why: k.Text("why")}
	if b.Holds, err = k.holdsNamed(); err != nil {
		return err
	}
	ids, err := k.do(b)
	if err != nil {
		return err
	}
	return k.claimed(ids, claim{"NOT RELEASED", "the hold is not released", "release it"}, append(k.tell(ids...), k.readyLines(d.ID)...))
}

// holdsNamed are the holds that flags name; none where no flag does.
func (k *call) holdsNamed() (ids []entry.ID, err error) {
	for _, text := range k.Each("hold") {
		id, err := k.entryNamed(text)
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

func hitchSeen(k *call) error {
	holds, err := k.holdsNamed()
	if err != nil {
		return err
	}
	return k.wrote(client.SeenHold{Holds: holds})
}

func unhitch(k *call) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	ids, err := k.do(client.Unhitch{Drill: d.ID, Why: k.Text("why")})
	if err != nil {
		return err
	}
	return k.claimed(ids, claim{"NOT UNHITCHED", "the hitch has not ended", "end it"}, k.tell(ids...))
}

func (k *call) moveDrill(to entry.DrillState) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	return k.wrote(client.MakeUp{Drill: d.ID, For: to, Note: k.Text("note")})
}
