package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client"
	"turnrow/sync/farm"
)

// names are the names of things that a shell can complete.
type names func(*farm.View) []string

func boxNames(v *farm.View) []string {
	return called(v.Boxes, func(b *farm.Box) string { return b.Name })
}
func lotNames(v *farm.View) []string {
	return called(v.Lots, func(l *farm.Lot) string { return l.Name })
}
func groundNames(v *farm.View) []string {
	return called(v.Grounds, func(g *farm.Ground) string { return g.Name })
}
func crewNames(v *farm.View) []string {
	return called(v.Crew, func(m *farm.Member) string { return m.Name })
}
func deviceNames(v *farm.View) []string {
	return called(v.Devices, func(d *farm.Device) string { return d.Name })
}

// namesOutside are the devices that an owner can let in: those that wait, were
// refused or were stopped.
func namesOutside(v *farm.View) []string {
	return called(slices.DeleteFunc(slices.Clone(v.Devices), func(d farm.Device) bool { return d.Joined && !d.Stopped }),
		func(d *farm.Device) string { return d.Name })
}
func drillNames(v *farm.View) []string { return called(v.Drills, drillName) }

func drillName(d *farm.Drill) string { return d.Name }

func checkNames(v *farm.View) []string {
	var list []string
	for _, c := range v.Checks {
		for _, it := range c.Items {
			list = append(list, it.Name)
		}
	}
	return list
}

func called[T any](things []T, name func(*T) string) []string {
	var list []string
	for i := range things {
		list = append(list, name(&things[i]))
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// completeNames offers the names of things for a command's arguments.
func (g *globals) completeNames(c *cobra.Command, of names) {
	c.ValidArgsFunction = cobra.NoFileCompletions
	if of != nil {
		c.ValidArgsFunction = g.completion(of)
	}
}

// completeFlags offers them for flags.
func (g *globals) completeFlags(c *cobra.Command, of map[string]names) {
	for flag, n := range of {
		_ = c.RegisterFlagCompletionFunc(flag, g.completion(n)) // fails only for a flag that is not there
	}
}

// completion reads the names from the home, if it can be opened: a shell waits
// for it, so it does not wait for others.
func (g *globals) completion(of names) cobra.CompletionFunc {
	return func(_ *cobra.Command, _ []string, begun string) ([]cobra.Completion, cobra.ShellCompDirective) {
		var list []string
		for _, n := range of(g.viewForShell()) {
			if strings.HasPrefix(strings.ToLower(n), strings.ToLower(begun)) && visible(n) == n {
				list = append(list, n)
			}
		}
		return list, cobra.ShellCompDirectiveNoFileComp
	}
}

func (g *globals) viewForShell() *farm.View {
	h := g.held
	if h == nil {
		home, err := g.homeDir()
		if err != nil || !exists(home) {
			return &farm.View{}
		}
		if h, err = client.Open(home, client.Options{}); err != nil {
			return &farm.View{}
		}
		defer h.Close()
	}
	f, err := h.Farm()
	if err != nil {
		return &farm.View{}
	}
	return f.View()
}
