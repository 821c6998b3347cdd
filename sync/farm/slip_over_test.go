package farm_test

import "testing"

// Ground that is finished at more acres than it has is not finished early: the
// reading that made them was asked about when it was written.
func TestGroundThatIsFinishedFarOverIsNotAskedAboutAgain(t *testing.T) {
	c := setUp(t)
	c.begin(0)
	c.own.write(c.reads(11_000)) // 11 ac on a piece of 7.5
	if ds := c.own.asked(c.finishes()); len(ds) > 0 {
		t.Errorf("asked %s: %s", ds[0].Kind, ds[0].Why)
	}
}
