package main

import (
	"fmt"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// body is what an entry says; nil where it is not here.
func (k *call) body(id entry.ID) entry.Body {
	l, _ := k.farm.Line(id)
	return l.Body
}

// tell says in words what was written, and what is on this device alone.
func (k *call) tell(ids ...entry.ID) []string {
	var lines []string
	for _, id := range ids {
		l, err := k.line(id)
		if err != nil {
			continue
		}
		lines = append(lines, k.short(id)+"  "+l.What)
		if l.LeftOut != "" && !k.waits() {
			lines = append(lines, "written down, but it does not count: "+client.WhyNot(l))
		}
	}
	return append(lines, k.onlyHere()...)
}

// onlyHere says what does not count, or is on this device alone.
func (k *call) onlyHere() []string {
	var lines []string
	if k.waits() {
		lines = append(lines, k.countsLater())
	}
	if k.stopped() {
		lines = append(lines, "This device was stopped: turnrow status says by whom, and what to do.")
	}
	return append(lines, k.pendingLines()...)
}

// pendingLines say how much of the record is on this device alone.
func (k *call) pendingLines() (lines []string) {
	if n := k.farm.Pending(); n > 0 {
		is := " is"
		if n > 1 {
			is = " are"
		}
		lines = append(lines, counted(n, "note")+is+" on this device only")
	}
	return lines
}

// counted writes a number of things.
func counted[N int | int64 | uint64](n N, what string) string {
	return units.Counted(fmt.Sprint(n), what)
}
