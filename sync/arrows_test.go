package sync_test

import (
	"slices"
	"strings"
	"testing"
)

// arrows says which rooms each room may import; a name covers what lies below
// it. The first match counts, so the narrower room comes first. Tests may
// import more: they see the whole house.
var arrows = []struct {
	room  string
	knows []string
}{
	{"proto/turnrow/service", []string{"proto/turnrow/v1"}},
	{"proto", nil},
	{"sync/units", nil},
	{"sync/hlc", nil},
	{"sync/entry", []string{"sync/hlc", "sync/units"}},
	{"sync/message", []string{"sync/entry", "sync/units"}},
	{"sync/chain", []string{"sync/entry", "sync/hlc"}},
	{"sync/rate", []string{"sync/units"}},
	{"sync/farm/conflict", []string{"sync/message", "sync/entry"}},
	{"sync/farm/order", []string{"sync/message", "sync/farm/conflict", "sync/chain", "sync/entry", "sync/hlc"}},
	{"sync/farm/thing", []string{"sync/message", "sync/farm/order", "sync/entry", "sync/units"}},
	{"sync/farm/rule", []string{"sync/farm/thing", "sync/entry"}},
	{"sync/farm/crew", []string{"sync/message", "sync/farm/rule", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/chain", "sync/entry", "sync/units"}},
	{"sync/farm/fact", []string{"sync/message", "sync/farm/crew", "sync/farm/rule", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/entry", "sync/units"}},
	{"sync/farm/work", []string{"sync/message", "sync/farm/fact", "sync/farm/crew", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/rate", "sync/entry", "sync/units"}},
	{"sync/farm/view", []string{"sync/message", "sync/farm/work", "sync/farm/crew", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/rate", "sync/entry", "sync/units"}},
	{"sync/farm/tell", []string{"sync/message", "sync/farm/view", "sync/farm/work", "sync/farm/crew", "sync/farm/rule", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/entry", "sync/units"}},
	{"sync/farm/slip", []string{"sync/message", "sync/farm/tell", "sync/farm/view", "sync/farm/work", "sync/farm/fact", "sync/farm/thing", "sync/farm/order", "sync/farm/conflict", "sync/rate", "sync/entry", "sync/units"}},
	{"sync/farm", []string{"sync/farm", "sync/message", "sync/rate", "sync/chain", "sync/entry", "sync/hlc", "sync/units"}},
	{"sync/exchange", []string{"sync/chain", "sync/entry", "sync/hlc"}},
	{"sync/wire", []string{"proto/turnrow/v1", "sync/exchange", "sync/farm", "sync/rate", "sync/chain", "sync/entry", "sync/hlc", "sync/units"}},
	{"sync/compress", []string{"sync/exchange"}},
	{"sync/token", []string{"sync/exchange", "sync/entry"}},
	{"sync/cert", []string{"sync/exchange", "sync/entry"}},
	{"sync/replica", []string{"sync/token", "sync/wire", "sync/exchange", "sync/farm", "sync/chain", "sync/entry", "sync/hlc"}},
	{"sync/doorway", []string{"sync/replica", "sync/token", "sync/compress", "sync/wire", "sync/exchange", "sync/chain", "proto"}},
	{"sync/logstore/logtest", []string{"sync"}},
	{"sync/logstore", []string{"sync/wire", "sync/exchange", "sync/chain", "sync/entry", "sync/hlc"}},
	{"sync/simtest", []string{"sync"}},
	{"sync", nil},
	{"server", []string{"server", "sync", "proto"}},
	{"client/mobile", []string{"client", "sync"}},
	{"client", []string{"client", "sync", "proto"}},
	{"cmd/turnrowd", []string{"cmd/turnrowd", "server", "sync"}},
	{"cmd/turnrow", []string{"cmd/turnrow", "client", "server", "sync"}},
	{"cmd", nil},
}

// TestArrowsPointDown fails where a room imports one that it may not know.
func TestArrowsPointDown(t *testing.T) {
	for _, p := range list(t, nil, "-e", "./...") {
		r := p.room()
		i := slices.IndexFunc(arrows, func(a struct {
			room  string
			knows []string
		}) bool {
			return within(r, a.room)
		})
		if i < 0 {
			t.Errorf("%s has no place in the house: say in arrows_test.go what it may import", p.ImportPath)
			continue
		}
		for _, imp := range p.Imports {
			to := room(imp)
			if to == "" || within(to, arrows[i].knows...) {
				continue
			}
			t.Errorf("%s imports %s: %s", r, to, whyNot(r, to))
		}
	}
}

func whyNot(from, to string) string {
	switch {
	case within(to, "cmd"):
		return "a program is flags and one call; what others need of it belongs in a library"
	case within(from, "server") && within(to, "client"), within(from, "client") && within(to, "server"):
		return "server and client share only what every replica must do alike, and that lives in sync/"
	case within(from, "proto"):
		return "the schema imports nothing of ours, so that other programs can use it alone"
	default:
		return "arrows point down: a room that knows those above it can neither be understood nor tested alone"
	}
}

// TestTheFarmHasOneDoor fails where somebody imports a room of the farm past its
// door.
func TestTheFarmHasOneDoor(t *testing.T) {
	for _, p := range list(t, nil, "-e", "./...") {
		for _, imp := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			if to := room(imp); within(to, "sync/farm") && to != "sync/farm" && !within(p.room(), "sync/farm") {
				t.Errorf("%s imports %s: what others need of a farm is in sync/farm", p.room(), to)
			}
		}
	}
}

// owned says which rooms alone may import a library directly, and why.
var owned = []struct {
	library []string
	rooms   []string
	why     string
}{
	{
		[]string{"google.golang.org/protobuf", "google.golang.org/genproto", module + "/proto"},
		[]string{"proto", "sync/wire", "sync/doorway", "client/transport"},
		"bytes become values at the door (sync/wire, sync/doorway, client/transport), so that a change of encoding stays there",
	},
	{
		[]string{"github.com/cockroachdb/pebble"},
		[]string{"sync/logstore"},
		"one room knows the disk's engine, so that a browser's store can stand in for it",
	},
	{
		[]string{"google.golang.org/grpc"},
		[]string{"proto/turnrow/service", "sync/doorway", "client/transport"},
		"the core and the client's logic run where gRPC can not, such as a browser",
	},
}

// TestLibrariesStayInTheirRooms fails where protobuf, Pebble or gRPC is
// imported outside the rooms that are there for it.
func TestLibrariesStayInTheirRooms(t *testing.T) {
	for _, p := range list(t, nil, "-e", "./...") {
		for _, imp := range p.Imports {
			for _, o := range owned {
				if within(imp, o.library...) && !within(p.room(), o.rooms...) {
					t.Errorf("%s imports %s: %s", p.room(), imp, o.why)
				}
			}
		}
	}
}

// impure are the standard packages that let the world in.
var impure = map[string]string{
	"time":         "wall time comes in as an argument, or replicas would differ by when they computed",
	"os":           "the core takes values and gives back values; files are the shell's",
	"net":          "the core takes values and gives back values; sockets are the shell's",
	"context":      "nothing here waits for anything that could be called off",
	"sync":         "nothing here runs side by side; one lock around it is the shell's",
	"log":          "what went wrong is an error that is given back, not a line on the side",
	"math/rand":    "chance comes in as an argument, or replicas would differ by luck",
	"math/rand/v2": "chance comes in as an argument, or replicas would differ by luck",
	"crypto/rand":  "chance comes in as an argument, or replicas would differ by luck",
	"unsafe":       "the layout of memory differs by processor",
	"runtime":      "results must not depend on the machine",
}

// TestPureRoomsKnowNothingOfTheWorld fails where a room of the deterministic
// core imports a package that brings in time, chance, disk or network.
func TestPureRoomsKnowNothingOfTheWorld(t *testing.T) {
	for _, p := range list(t, nil, "-e", "./sync/...") {
		if !slices.Contains(pureRooms, p.room()) {
			continue
		}
		for _, imp := range p.Imports {
			for bad, why := range impure {
				if imp == bad || strings.HasPrefix(imp, bad+"/") {
					t.Errorf("%s imports %s: %s", p.room(), imp, why)
				}
			}
		}
	}
}
