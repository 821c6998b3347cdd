package logstore_test

import (
	"crypto/ed25519"
	"fmt"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
)

// A device founds a farm and writes a note; a second replica takes in what it
// lacks, and both hold the same.
func Example() {
	house, err := logstore.Open("house", logstore.Options{FS: vfs.NewMem()})
	if err != nil {
		panic(err)
	}
	defer house.Close()
	key := ed25519.NewKeyFromSeed(make([]byte, ed25519.SeedSize)) // a real device's is random
	public := entry.Key(key.Public().(ed25519.PublicKey))
	device := entry.DeviceID{1}
	paper := entry.Key{7} // the public half of a code that is printed once
	farm := entry.FoundedBy(device, public, paper)
	log, err := house.Farm(farm)
	if err != nil {
		panic(err)
	}
	const wall = 1_790_000_000_000 // ms since 1970
	_, err = log.Record(key, device, wall, nil,
		entry.Draft{Body: &entry.FarmFounded{Name: "Gravelly Bottom", Owner: "Ida", Key: public, Paper: paper}},
		entry.Draft{Body: &entry.Noted{Text: "left gate wire is down"}})
	if err != nil {
		panic(err)
	}

	barn, err := logstore.Open("barn", logstore.Options{FS: vfs.NewMem()})
	if err != nil {
		panic(err)
	}
	defer barn.Close()
	copied, err := barn.Farm(farm)
	if err != nil {
		panic(err)
	}
	runs, _, err := exchange.Missing(log, exchange.Have(copied), exchange.UsualBatch)
	if err != nil {
		panic(err)
	}
	taken, err := copied.Take(runs)
	fmt.Println(len(taken.Entries), "entries taken,", len(taken.Refused), "runs refused,", err)
	err = copied.Each(nil, func(e entry.Entry) error {
		fmt.Println(e.Seq, e.Body.Kind())
		return nil
	})
	fmt.Println(err, copied.Frontier().Covers(log.Frontier()))
	// Output:
	// 2 entries taken, 0 runs refused, <nil>
	// 1 farm-founded
	// 2 noted
	// <nil> true
}
