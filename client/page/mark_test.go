package page_test

import (
	"net/http"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

const markedSetup = `drill: {name: d, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
boxes: [{name: grass, dial: {marks: ["1-1", "1-2", "2-1"]}}]
chart: [{box: grass, species: oat, points: {"1-1": 20 lb/ac, "2-1": 1.5 bu/ac}}]
`

// A dial with marks is set by choosing one, caught at by naming one, and shown
// by it; a chart in bushels keeps what is printed.
func TestDialsWithMarks(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	if code, body := d.post("/setup", "set="+markedSetup); code != http.StatusOK {
		t.Fatalf("setup: %d %s", code, between(body, `role="alert"`, "</div>"))
	}
	b := box(t, d.handset, "grass")
	path := "/box/" + b.ID.String()
	if body := d.get(path + "/dial"); !strings.Contains(body, `type="radio" name="to" value="1-2"`) {
		t.Error("the dial's marks are not there to choose")
	}
	d.post(path+"/dial", "to=1-2", "reason=aim")
	if got, ok := latest(d.handset).(*entry.DialMoved); !ok || got.To != 2000 {
		t.Errorf("wrote %+v", latest(d.handset))
	}
	if body := d.get(path); !strings.Contains(body, ">1-2</b>") {
		t.Error("the dial is not shown by its mark")
	}
	o1 := "lot=" + lot(t, d.handset, "O-1").ID.String()
	d.post(path+"/catch", o1, "dial=2-1", "turns=20", "rows=4", "caught=120")
	if got, ok := latest(d.handset).(*entry.Caught); !ok || got.Dial != 3000 {
		t.Errorf("wrote %+v", latest(d.handset))
	}
	record(t, d.handset, &entry.Filled{Box: b.ID, Lot: lot(t, d.handset, "O-1").ID, Bags: 1000})
	_, pictures, _ := strings.Cut(d.get(path+"/pictures"), `id="curve-t"`)
	if !strings.Contains(pictures, ">1-2</text>") || !strings.Contains(pictures, "<td>2-1</td>") || strings.Contains(pictures, "<td>3</td>") {
		t.Errorf("the curve names places on the dial, not its marks: %s", pictures)
	}
	if code, body := d.post(path+"/catch", o1, "dial=3", "turns=20", "rows=4", "caught=120"); code != http.StatusUnprocessableEntity ||
		!strings.Contains(body, "has the marks 1-1, 1-2, 2-1") {
		t.Errorf("a number on a dial of marks: %d", code)
	}
	if body := d.get(path + "/chart?species=oat"); !strings.Contains(body, `value="1.5 bu/ac"`) || !strings.Contains(body, `value="2-1"`) {
		t.Error("the chart does not show what is printed")
	}
	d.post(path+"/chart", "species=oat", "dial0=1-1", "rate0=20 lb/ac", "dial1=1-2", "rate1=1 bu/ac", "dial2=2-1", "rate2=1.5 bu/ac")
	if got, ok := latest(d.handset).(*entry.ChartPointSet); !ok || got.Dial != 2000 || got.Printed != "1 bu/ac" || got.Rate.LbPerAcre() < 31.9 || got.Rate.LbPerAcre() > 32.1 {
		t.Errorf("wrote %+v", latest(d.handset))
	}
}
