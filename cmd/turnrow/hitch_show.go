package main

import (
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

type hitchAnswer struct {
	Drill    string        `json:"drill"`
	Ready    bool          `json:"ready"`
	Missing  []string      `json:"missing"`
	Holds    []holdAnswer  `json:"holds"`
	Signed   []checkAnswer `json:"signed"`
	Tractor  string        `json:"tractor"`
	Version  int64         `json:"version"` // of the list of checks
	Released []holdAnswer  `json:"released"`
}

type holdAnswer struct {
	Entry string `json:"entry"`
	By    string `json:"by"`
	Why   string `json:"why"`
	Wall  string `json:"wall"`
}

type checkAnswer struct {
	Entry    string `json:"entry"`
	Item     int64  `json:"item"`
	Name     string `json:"name"`
	Required bool   `json:"required"`
	By       string `json:"by"`
}

func hitchShow(k *call) error {
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	h := d.Hitch
	lines := append([]string{}, hitchCautions...)
	for _, s := range h.Signed {
		lines = append(lines, checkLine(s.Item, s.Name, s.Required, "signed by "+k.view.NameOf(s.By)))
	}
	return k.show(k.hitchAnswer(d), append(lines, k.readyLines(d.ID)...))
}

func (k *call) hitchAnswer(d farm.Drill) hitchAnswer {
	h := d.Hitch
	a := hitchAnswer{Drill: d.Name, Ready: h.Ready, Missing: append([]string{}, h.Missing...), Holds: k.holds(h.Holds),
		Signed: []checkAnswer{}, Tractor: h.Tractor, Version: h.Version, Released: k.holds(h.Released)}
	for _, s := range h.Signed {
		a.Signed = append(a.Signed, checkAnswer{s.Entry.String(), s.Item, s.Name, s.Required, k.view.NameOf(s.By)})
	}
	return a
}

func (k *call) holds(hs []farm.Hold) []holdAnswer {
	out := []holdAnswer{}
	for _, h := range hs {
		out = append(out, holdAnswer{h.Entry.String(), k.view.NameOf(h.By), h.Why, wallText(h.Wall)})
	}
	return out
}

// readyLines say, from the farm as it stands now, whether a drill is ready and
// what stands against it. What a check does not say, it does not promise.
func (k *call) readyLines(id entry.ID) []string {
	d, _ := k.client.View().DrillOf(id)
	var lines []string
	for _, h := range d.Hitch.Holds {
		lines = append(lines, "HOLD  "+h.Why+" ("+k.view.NameOf(h.By)+", "+k.clock(h.Wall)+", "+k.short(h.Entry)+")")
	}
	for _, m := range d.Hitch.Missing {
		lines = append(lines, "missing: "+m)
	}
	if d.Hitch.Ready {
		return append(lines, "READY: every required check is signed and no hold is open, as far as this device knows.")
	}
	return append(lines, "NOT READY")
}

// timeFormat is how programs get a time.
const timeFormat = time.RFC3339

// wallText is a device's own clock, for programs.
func wallText(ms int64) string { return time.UnixMilli(ms).UTC().Format("2006-01-02T15:04:05.000Z") }

// clock is a device's own clock, for people, in the farm's time zone.
func (k *call) clock(ms int64) string {
	return time.UnixMilli(ms).In(k.zone()).Format("Mon 2 Jan 15:04")
}
