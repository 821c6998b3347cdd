package main

import (
	"context"
	_ "embed"
	"os"
	"path/filepath"
	"strings"
	_ "time/tzdata" // the farm's time zone, on machines that have none
)

// demoSet is the invented farm's set file.
//
//go:embed demo_day.yaml
var demoSet []byte

const (
	demoFarm = "Windgap"
	demoZone = "America/New_York"
	demoFile = "windgap.yaml"
)

// scene is a part of the day.
type scene struct {
	title string
	lines []line
}

// line is a command that someone types on a device at an hour.
type line struct {
	hour, device string
	args         []string
}

func at(hour, device string, args ...string) line { return line{hour, device, args} }

// theDay is what the crew does once all three have joined. Masses caught are
// those of 4 rows and so many turns at about the rate that is aimed at.
var theDay = []scene{
	{"At the house, in range: hitching, and proving the rates.", []line{
		at("06:35", "tractor", "hitch", "begin", "--tractor", "blue"),
		at("06:41", "tractor", "hitch", "sign", "engine off and key out", "transport locks pulled"),
		at("06:52", "tractor", "catch", "--box", "grain", "--lot", "O-1", "--dial", "33", "--turns", "20", "--rows", "4", "--caught", "139g"),
		at("06:55", "tractor", "dial", "grain", "34", "--why", "caught 4 % light"),
		at("06:58", "tractor", "catch", "--box", "grass", "--lot", "G-3", "--dial", "40", "--turns", "40", "--rows", "4", "--caught", "53g"),
		at("07:01", "tractor", "dial", "grass", "42", "--why", "caught 5 % light"),
		at("07:06", "tractor", "catch", "--box", "legume", "--lot", "R-7", "--dial", "16", "--turns", "40", "--row-masses", "15.1,16.0,15.4,15.5", "--resolution", "0.1g"),
		at("07:10", "tractor", "dial", "legume", "15", "--why", "caught 5 % heavy"),
		at("07:15", "tractor", "sync"), at("07:16", "phone", "sync"), at("07:17", "house", "sync"),
	}},
	{"On the bench, out of range: each writes on a device of their own.", []line{
		at("07:40", "tractor", "meter", "212.4", "--begin", "--ground", "bench"),
		at("07:45", "tractor", "fill", "grain", "--lot", "O-1", "--bags", "4"),
		at("07:47", "tractor", "fill", "grass", "--lot", "G-3", "--mass", "40 lb"),
		at("07:49", "tractor", "fill", "legume", "--lot", "R-7", "--mass", "36 lb"),
		at("07:52", "phone", "fill", "grain", "--lot", "O-1", "--bags", "4"),
		at("07:58", "phone", "hitch", "hold", "--why", "a hose rubs on the tongue"),
		at("07:59", "tractor", "hitch", "sign", "hoses tied clear"),
		at("09:05", "house", "dial", "legume", "18", "--why", "the dealer says that this coating runs light"),
		at("09:20", "tractor", "meter", "214.2", "--ground", "bench"),
		at("09:24", "tractor", "dial", "legume", "14", "--why", "going down too fast for the acres"),
		at("10:40", "phone", "note", "rows 7 and 8 plugged by the spring, cleared them", "--about", "box:legume"),
		at("11:30", "tractor", "meter", "216.8", "--ground", "bench"),
		at("11:36", "tractor", "level", "grain", "--mass", "52 lb"),
	}},
}

// goAndLook is how the crew settles what it can.
var goAndLook = []line{
	at("13:20", "tractor", "settle", "two-settings", "--stands", "14", "--why", "went to the box and read it"),
	at("13:24", "tractor", "settle", "double-entry", "--stands", "1", "--why", "four empty bags on the trailer, not eight"),
	at("13:31", "tractor", "hitch", "release", "--why", "tied the hose clear of the tongue, looked it over with Cal"),
	at("13:40", "tractor", "sync"), at("13:41", "house", "sync"), at("13:42", "phone", "sync"),
}

// backInRange is how the records come together: the phone passes the tractor,
// carries its notes home, and the tractor follows.
var backInRange = []line{
	at("12:40", "phone", "sync"), at("12:41", "house", "sync"), at("13:05", "tractor", "sync"),
	at("13:06", "house", "sync"), at("13:07", "phone", "sync"),
}

// play plays the day, telling each line as it is typed.
func (s *stage) play(ctx context.Context, tell func(string)) error {
	if err := s.gather(ctx, tell); err != nil {
		return err
	}
	for _, sc := range theDay {
		tell("\n" + sc.title)
		if err := s.lines(ctx, sc.lines, tell); err != nil {
			return err
		}
	}
	tell("\nComing home: the phone passes the tractor at the gate, and carries its notes to the house.")
	if err := s.atTheGate(ctx, tell); err != nil {
		return err
	}
	if err := s.lines(ctx, backInRange, tell); err != nil {
		return err
	}
	tell("\nThe records are one. Nothing is lost, and what cannot both be so is asked:\n")
	out, err := s.types(ctx, s.device("tractor"), "doubts")
	if err != nil {
		return err
	}
	tell("  " + strings.ReplaceAll(strings.TrimSpace(out), "\n", "\n  "))
	tell("\nSomeone goes and looks:")
	return s.lines(ctx, goAndLook, tell)
}

// gather founds the farm, sets it up, and lets the others join.
func (s *stage) gather(ctx context.Context, tell func(string)) error {
	tell("\nAt the house: the farm is founded, set up, and the others join.")
	found, err := s.server.FoundingAddress()
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(s.dir, demoFile), demoSet, 0o600); err != nil {
		return err
	}
	house := s.device("house")
	if err := s.lines(ctx, []line{
		at("06:05", "house", "found", "--farm", demoFarm, "--owner", house.person, "--device", "house", "--time-zone", demoZone, "--at", found),
		at("06:10", "house", "set", demoFile),
		at("06:12", "house", "bags", "in", "O-1", "6"),
		at("06:12", "house", "bags", "in", "G-3", "2"),
		at("06:12", "house", "bags", "in", "R-7", "2"),
	}, tell); err != nil {
		return err
	}
	for _, in := range []struct{ device, role string }{{"tractor", "operator"}, {"phone", "helper"}} {
		d := s.device(in.device)
		if err := s.now.set("06:20"); err != nil {
			return err
		}
		invite, err := s.asks(ctx, house, "invite", "invite", d.person, "--role", in.role)
		if err != nil {
			return err
		}
		tell(typed(at("06:20", "house", "invite", d.person, "--role", in.role)))
		if err := s.lines(ctx, []line{at("06:22", in.device, "join", invite, "--device", in.device)}, tell); err != nil {
			return err
		}
	}
	return nil
}

func (s *stage) atTheGate(ctx context.Context, tell func(string)) error {
	if err := s.now.set("12:20"); err != nil {
		return err
	}
	out, err := s.meet(ctx, s.device("tractor"), s.device("phone"))
	if err != nil {
		return err
	}
	tell(typed(at("12:20", "tractor", "meet")))
	tell(typed(at("12:20", "phone", "sync", "--with", "TRACTOR")))
	tell("                " + firstLine(out))
	return nil
}

func (s *stage) lines(ctx context.Context, lines []line, tell func(string)) error {
	for _, l := range lines {
		if err := s.now.set(l.hour); err != nil {
			return err
		}
		out, err := s.types(ctx, s.device(l.device), l.args...)
		if err != nil {
			return err
		}
		tell(typed(l))
		if l.args[0] == "sync" {
			tell("                " + firstLine(out))
		}
	}
	return nil
}

// typed is a line as it was typed. Addresses and invites, which are long, and
// secrets, are left out.
func typed(l line) string {
	words := make([]string, len(l.args))
	for i, a := range l.args {
		switch {
		case strings.HasPrefix(a, "turnrow://") && l.args[0] == "join":
			a = "INVITE"
		case strings.HasPrefix(a, "turnrow://"):
			a = "ADDRESS"
		case strings.ContainsAny(a, " '"):
			a = `"` + a + `"`
		}
		words[i] = a
	}
	return "  " + l.hour + "  " + pad(l.device, 7) + "> turnrow " + strings.Join(words, " ")
}

func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-len(s))) }

func firstLine(s string) string {
	first, _, _ := strings.Cut(s, "\n")
	return first
}
