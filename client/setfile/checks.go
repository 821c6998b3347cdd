package setfile

import (
	"slices"

	"go.yaml.in/yaml/v4"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// checks is the list of checks for hitching.
type checks struct {
	at      node
	version entry.Opt[int64]
	items   []entry.CheckItem
}

// keys are the keys of the checks.
func (c *checks) keys() []key {
	return []key{
		{"version", optional(&c.version, whole)},
		{"items", func(n node) error { return n.items("the items", c.readItem) }},
	}
}

// itemKeys are the keys of one check.
func itemKeys(it *entry.CheckItem) []key {
	return []key{{"name", text(&it.Name)}, {"required", yes(&it.Required)}}
}

func readChecks(n node) (*checks, error) {
	c := &checks{at: n}
	err := n.keys("checks", c.keys()...)
	if err == nil && len(c.items) == 0 {
		err = n.refuse("checks need items, such as {name: engine off and key out, required: true}")
	}
	return c, err
}

// readItem reads one check. It is required unless the file says that it is not.
func (c *checks) readItem(n node) error {
	it := entry.CheckItem{Required: true}
	var err error
	if n.Kind == yaml.ScalarNode {
		it.Name, err = n.word()
	} else {
		err = n.keys("a check", itemKeys(&it)...)
	}
	switch {
	case err != nil:
		return err
	case it.Name == "":
		return n.refuse("a check needs a name, such as {name: engine off and key out}")
	case slices.ContainsFunc(c.items, func(o entry.CheckItem) bool { return o.Name == it.Name }):
		return n.refuse("check %q stands twice: leave one out", it.Name)
	}
	c.items = append(c.items, it)
	return nil
}

func (w *writer) setChecks(c *checks) error {
	if c == nil {
		return nil
	}
	latest := farm.Checklist{}
	for _, have := range w.view.Checks {
		if slices.Equal(have.Items, c.items) && (!c.version.Set || c.version.Val == have.Version) {
			return nil
		}
		if have.Version >= latest.Version {
			latest = have
		}
	}
	version := latest.Version + 1
	if c.version.Set {
		version = c.version.Val
	}
	if version < 1 {
		return c.at.refuse("version %d of the checks: a list's number is 1 or more; left out, it is %d", version, latest.Version+1)
	}
	if version <= latest.Version {
		return c.at.refuse("version %d of the checks is there with other items: a changed list needs version %d or higher", version, latest.Version+1)
	}
	_, err := w.add(c.at, &entry.ChecksSet{Version: version, Items: c.items})
	return err
}
