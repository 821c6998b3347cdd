package farm_test

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Entries go in, in whatever order devices come; what there is to say to people
// comes out, in no language yet.
// Whoever applies them has checked chain and signature before (sync/replica).
func Example() {
	house, key := entry.DeviceID{15: 1}, entry.Key{1}
	s := farm.New(entry.FoundedBy(house, key, key))
	area, _ := units.AreaFromAcres(7.5)
	for i, b := range []entry.Body{
		&entry.FarmFounded{Name: "Quill Hollow", Owner: "Ada", Key: key, DeviceName: "house", Paper: key},
		&entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(area)},
		&entry.Noted{Text: "gate is open"},
	} {
		s.Apply(entry.Entry{ID: entry.ID{Log: house.Log(), Seq: uint64(i + 1)}, Clock: 1, Wall: 1_780_000_000_000, Body: b})
	}
	v := s.View()
	fmt.Println(v.Name, "of", v.Crew[0].Name)
	fmt.Println(v.Grounds[0].Name, v.Grounds[0].Area.Format(units.US))
	for _, l := range s.Lines() {
		fmt.Println(l.By+":", l.What)
	}
	// Output:
	// Quill Hollow of Ada
	// bench 7.5 ac
	// Ada: founded("Ada", "Quill Hollow")
	// Ada: set-ground(bench)
	// Ada: written("gate is open")
}
