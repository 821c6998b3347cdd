package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/sync/entry"
)

// commandOf is the command by which people write a kind, as scripts call it. A
// kind that none writes says why: "no command: ...".
var commandOf = map[entry.Kind]string{
	entry.KindFilled: "fill", entry.KindVolumeFilled: "fill", entry.KindDrained: "drain", entry.KindLevelRead: "level",
	entry.KindCaught: "catch", entry.KindDialMoved: "dial", entry.KindMeterRead: "meter", entry.KindCounterStood: "meter",
	entry.KindCounterReset: "meter", entry.KindStandCounted: "stand", entry.KindGroundFinished: "finish", entry.KindNoted: "note",
	entry.KindPinned: "spot note", entry.KindErrand: "bring ask",
	entry.KindBagsIn: "bags in", entry.KindBagsOut: "bags out", entry.KindVolumeWeighed: "weigh",
	entry.KindGroundSet: "set", entry.KindDrillSet: "set", entry.KindBoxSet: "set", entry.KindChartPointSet: "set",
	entry.KindLotSet: "set", entry.KindLabelSet: "set", entry.KindPlanSet: "set", entry.KindDialMarked: "set", entry.KindChecksSet: "set",
	entry.KindHitchBegun: "hitch begin", entry.KindItemSigned: "hitch sign", entry.KindHoldRaised: "hitch hold",
	entry.KindHoldReleased: "hitch release", entry.KindHoldSeen: "hitch seen", entry.KindDrillMoved: "hitch field", entry.KindUnhitched: "hitch unhitch",
	entry.KindAmended: "amend", entry.KindStruck: "strike", entry.KindSettled: "settle",
	entry.KindFarmFounded: "found", entry.KindInvited: "invite", entry.KindDeviceEnrolled: "join", entry.KindMemberAdded: "invite",
	entry.KindMemberChanged: "crew role", entry.KindMemberStopped: "crew stop", entry.KindDeviceStopped: "stop",
	entry.KindDeviceTakenIn: "take-in", entry.KindAdmitted: "crew admit", entry.KindRecovered: "recover",
}

// Every kind has a command, which is there and which a script calls, or says why
// it has none.
func TestEveryKindHasACommand(t *testing.T) {
	scripts := ""
	names, err := filepath.Glob("../../testdata/script/*.txtar")
	for _, name := range names {
		text, readErr := os.ReadFile(name)
		for line := range strings.Lines(string(text)) {
			if called := strings.TrimRight(line, "\n"); !strings.HasPrefix(line, "#") {
				scripts += called + " \n"
			}
		}
		err = readErr
	}
	if err != nil || scripts == "" {
		t.Fatalf("no script is read: %v", err)
	}
	for k := range entry.Kinds() {
		use := commandOf[k]
		why, none := strings.CutPrefix(use, "no command: ")
		switch c, rest, err := newRoot(&globals{}).Find(strings.Fields(use)); {
		case none && why != "":
		case use == "" || none:
			t.Errorf("nobody can write %s: name its command, or say \"no command: why\"", k)
		case err != nil || len(rest) > 0 || c.CommandPath() != "turnrow "+use:
			t.Errorf("%s: there is no command turnrow %s (%v)", k, use, err)
		case !strings.Contains(scripts, " "+use+" "):
			t.Errorf("%s: no script calls turnrow %s", k, use)
		}
	}
}
