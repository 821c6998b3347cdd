package main

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// A check is signed by its number, its name, or a beginning that only it has:
// never a wrong one for a slip of the finger.
func TestItemIsNeverGuessed(t *testing.T) {
	list := farm.Checklist{Items: []entry.CheckItem{{Name: "hoses tied clear"}, {Name: "hoses not pinched"}, {Name: "2 pins in"}, {Name: "Jack up"}}}
	for text, want := range map[string]int64{
		"1": 1, "4": 4, "hoses tied": 1, "HOSES NOT": 2, "jack up": 4, "j": 4, "2": 2, "2 pins in": 3, "2 ": 3,
		"": 0, "hoses": 0, "0": 0, "5": 0, "-1": 0, "hoses tied claer": 0, "clear": 0,
	} {
		if got, err := item(list, text); got != want || (err == nil) != (want > 0) {
			t.Errorf("item(%q) = %d, %v; want %d", text, got, err, want)
		}
	}
}
