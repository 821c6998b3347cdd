package trial_test

import (
	"testing"

	"turnrow/sync/simtest/trial"
)

// An honest day is one that can be: it goes forward, the counter never goes
// back, catches are made at the dial that was set, and all ground is worked.
func TestHonestDaysAreDays(t *testing.T) {
	d := trial.NewDraw(*seed, cell(9))
	for range 50 {
		h := trial.HonestDay(d)
		dials := make([]float64, len(h.Boxes))
		worked := make([]float64, len(h.Pieces))
		minute, acres := -1.0, 0.0
		for _, x := range h.Deeds {
			if x.Minute <= minute {
				t.Fatalf("%T at minute %v, after %v", x.Does, x.Minute, minute)
			}
			minute = x.Minute
			switch does := x.Does.(type) {
			case trial.Stood:
				acres = does.Acres
			case trial.Moved:
				dials[does.Box] = does.Dial
			case trial.Caught:
				if does.Dial != dials[does.Box] {
					t.Fatalf("caught at %v where the dial was set to %v", does.Dial, dials[does.Box])
				}
			case trial.Read:
				if does.Acres < acres-1e-9 {
					t.Fatalf("the counter went from %v to %v", acres, does.Acres)
				}
				worked[does.Ground] += does.Acres - acres
				acres = does.Acres
			}
		}
		for i, p := range h.Pieces {
			if share := worked[i] / p.Mapped; share < 0.8 || share > 1.3 {
				t.Errorf("%.1f ac by the counter on a piece mapped as %.1f", worked[i], p.Mapped)
			}
		}
	}
}
