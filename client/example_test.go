package client_test

import (
	"context"
	"errors"
	"fmt"
	"os"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// A device founds a farm, writes down which seed came, and looks at it. What
// cannot be written as it stands is refused, with the reason.
func Example() {
	dir, err := os.MkdirTemp("", "home-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	if err := seedCame(context.Background(), dir); err != nil {
		panic(err)
	}
	// Output:
	// of which lot? it is missing
	// O-1, oats: 8 bags of 50 lb
}

func seedCame(ctx context.Context, dir string) (err error) {
	h, err := client.Open(dir, client.Options{})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.Close()) }()
	founded, err := h.Found(ctx, client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"})
	if err != nil {
		return err
	}
	f := founded.Farm // which Home.Farm gives from now on

	var refused client.Refused
	came := client.Bags{Bags: 8_000} // in thousandths, as all quantities are whole numbers
	_, err = f.Ask(ctx, client.Writing{Build: f.Intend(came)})
	if errors.As(err, &refused) && refused[0].Field == "lot" {
		fmt.Println("of which lot?", refused[0].Why)
	}

	bag, err := units.ParseMass("50 lb")
	if err != nil {
		return err
	}
	lot := client.Lot{LotSet: entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oats"), Bag: entry.Some(bag)}}
	ids, err := f.Ask(ctx, client.Writing{Build: f.Intend(lot)})
	if err != nil {
		return err
	}
	came.Lot = ids[0]
	if _, err := f.Ask(ctx, client.Writing{Build: f.Intend(came)}); err != nil {
		return err
	}
	for _, l := range f.View().Lots {
		fmt.Printf("%s, %s: %s bags of %s\n", l.Name, l.Species, l.BagsIn, l.Bag.Format(units.US))
	}
	return nil
}
