package main

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turnrow/client"
	"turnrow/client/report"
	"turnrow/sync/entry"
)

// A phone whose date is a day and an hour ahead writes a note, that is carried to
// the house: the house is told whose date is wrong, and what to do, and lets in
// the next who joins. The phone with the right date says nothing.
func TestADateADayAheadThroughTheCommand(t *testing.T) {
	dir := t.TempDir()
	at := func(home string, args ...string) string {
		t.Helper()
		var out bytes.Buffer
		if code := (&globals{out: &out, errs: &out}).run(context.Background(), append([]string{"--home", filepath.Join(dir, home)}, args...)); code != 0 {
			t.Fatalf("%s %q: %d %s", home, args, code, &out)
		}
		return out.String()
	}
	carried := func(from, to string) string {
		t.Helper()
		file := filepath.Join(t.TempDir(), "x.run")
		at(from, "carry", "out", file)
		return at(to, "carry", "in", file)
	}
	joins := func(home, who string) string {
		t.Helper()
		var invite struct {
			Invite string `json:"invite"`
		}
		if err := json.Unmarshal([]byte(at("house", "invite", who, "--role", "helper", "--json")), &invite); err != nil || invite.Invite == "" {
			t.Fatal(err, invite)
		}
		at(home, "join", invite.Invite, "--device", who+"'s phone")
		said := carried(home, "house")
		carried("house", home)
		return said
	}
	at("house", "found", "--farm", "Windgap", "--owner", "Ada", "--device", "house")
	joins("ben", "Ben")
	if got := at("house", "status"); strings.Contains(got, "time zone") {
		t.Errorf("all in time: %s", got)
	}
	ben, err := client.Open(filepath.Join(dir, "ben"), client.Options{Now: func() time.Time { return time.Now().Add(25 * time.Hour) }})
	if err != nil {
		t.Fatal(err)
	}
	f, err := ben.Farm()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Record(t.Context(), entry.ID{}, &entry.Noted{Text: "the date is wrong"}); err != nil {
		t.Fatal(err)
	}
	if err := ben.Close(); err != nil {
		t.Fatal(err)
	}
	carried("ben", "house")
	const want = "Ben's phone last wrote 25 hours ahead of the clock here: set date, time and time zone right there, or here. No note is lost by it."
	if got := at("house", "status"); !strings.Contains(got, want+"\n") {
		t.Errorf("status: %s", got)
	}
	if got := at("house", "status", "--json"); !strings.Contains(got, `"clocks":["`+want+`"]`) {
		t.Errorf("status --json: %s", got)
	}
	if got := joins("cleo", "Cleo"); !strings.Contains(got, "Let in on an invite: Cleo's phone.") {
		t.Errorf("who joins then: %s", got)
	}
	if got := at("cleo", "log"); !strings.Contains(got, "the date is wrong") {
		t.Errorf("Cleo has %s", got)
	}
}

func TestFarTimesInWords(t *testing.T) {
	for d, want := range map[time.Duration]string{
		2 * time.Hour: "2 hours", 25*time.Hour + 20*time.Minute: "25 hours", 47 * time.Hour: "47 hours",
		49 * time.Hour: "2 days", 366 * 24 * time.Hour: "366 days",
	} {
		if got := report.FarText(d); got != want {
			t.Errorf("%s is %s, want %s", d, got, want)
		}
	}
}
