package proto_test

import (
	"os"
	"regexp"
	"strconv"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// The page's table of bounds has the code's constants, each once and no other.
func TestPageHasTheCodesBounds(t *testing.T) {
	bounds := map[string]int{
		"MaxCall": exchange.MaxCall, "MaxBatch": exchange.MaxBatch, "UsualBatch": exchange.UsualBatch, "MaxRun": exchange.MaxRun,
		"MaxRuns": exchange.MaxRuns, "MaxRaw": entry.MaxRaw, "MaxDevices": entry.MaxDevices, "MaxJoin": exchange.MaxJoin,
		"CallsInFlight": exchange.CallsInFlight, "WatchesPerDevice": exchange.WatchesPerDevice,
		"CallsPerSecond": exchange.CallsPerSecond, "CallsBurst": exchange.CallsBurst, "CallSeconds": exchange.CallSeconds,
		"TokenSeconds": exchange.TokenSeconds, "LeewaySeconds": exchange.LeewaySeconds, "InviteHours": exchange.InviteHours,
		"FoundingHours": exchange.FoundingHours, "InviteLogs": exchange.InviteLogs, "StrangerEntries": exchange.StrangerEntries,
		"StrangerBytes": exchange.StrangerBytes, "DayEntries": exchange.DayEntries, "DayBytes": exchange.DayBytes,
		"DayHolds": exchange.DayHolds, "DayRights": exchange.DayRights, "DayStops": exchange.DayStops,
	}
	page, err := os.ReadFile("PROTOCOL.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range regexp.MustCompile(`(?m)^\| (\w+) \| (\d+) \|`).FindAllStringSubmatch(string(page), -1) {
		if want, ok := bounds[row[1]]; !ok || row[2] != strconv.Itoa(want) {
			t.Errorf("the page says %s is %s: want %d", row[1], row[2], want)
		}
		delete(bounds, row[1])
	}
	for name := range bounds {
		t.Errorf("the page lacks %s", name)
	}
}
