package page_test

import (
	"net/http"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

// A piece that is finished holds the counter against its area while there is
// time to look; a person may correct the counter by it, leave it, and take the
// word back.
func TestAPieceIsFinished(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	knoll := ground(t, d.handset, "knoll").ID // 1.2 ha, 2.965 ac
	drill := d.View().Drills[0].ID
	path := "/ground/" + knoll.String() + "/finished"
	if body := d.get(path); strings.Contains(body, `name="correct"`) {
		t.Error("offers to correct a counter by nothing done")
	}
	record(t, d.handset, &entry.CounterStood{Drill: drill, Reading: 100_000})
	record(t, d.handset, &entry.MeterRead{Drill: drill, Reading: 103_300, Ground: knoll}) // 3.3 ac
	body := d.get(path)
	for _, want := range []string{"The counter is 11 % over.", "It was set at", "take the counter × 0.899 from here on"} {
		if !strings.Contains(body, want) {
			t.Errorf("lacks %q", want)
		}
	}
	d.post(path, "correct=yes")
	if b, ok := latest(d.handset).(*entry.GroundFinished); !ok || !b.Finished || b.Correction != entry.Some(int64(899)) || b.Reading.Val != 103_300 {
		t.Errorf("wrote %+v", latest(d.handset))
	}
	if !ground(t, d.handset, "knoll").Finished || !strings.Contains(d.get("/ground/"+knoll.String()), "It is written as finished") {
		t.Error("not shown as finished")
	}
	d.post(path)
	if b, ok := latest(d.handset).(*entry.GroundFinished); !ok || b.Finished || b.Correction.Set || ground(t, d.handset, "knoll").Finished {
		t.Errorf("taken back as %+v", latest(d.handset))
	}
}

// A piece of which no acres were counted is asked about, and left as it is by
// one of the answers.
func TestAPieceThatIsFinishedEarlyIsAskedAbout(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	path := "/ground/" + ground(t, d.handset, "knoll").ID.String() + "/finished"
	before := d.View().Entries
	code, body := d.post(path)
	values, says := answers(body)
	if code != http.StatusConflict || d.View().Entries != before || len(says) != 2 || !strings.Contains(body, "no acres of knoll were counted") {
		t.Fatalf("answered %d with %q", code, says)
	}
	ask := hidden(body)
	if d.send(path, ask, "answer="+values[1]); ground(t, d.handset, "knoll").Finished || d.View().Entries != before {
		t.Error("it is not finished, and was written as if it were")
	}
	_, body = d.post(path)
	if d.send(path, hidden(body), "answer="+values[0]); !ground(t, d.handset, "knoll").Finished {
		t.Error("it is finished, and was not written")
	}
}

// Each side of a box with dials of their own is shown by its own dial; one that
// nobody wrote is not known.
func TestEachSideByItsOwnDial(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "legume").ID
	if body := d.get("/"); strings.Contains(body, `<b class="figure">–</b>`) || !strings.Contains(body, "dial not known") {
		t.Error("a dial that nobody wrote is not said to be not known")
	}
	record(t, d.handset, &entry.BoxSet{Box: b, OwnDials: entry.Some(int64(1))}, &entry.DialMoved{Box: b, Side: 1, To: 20_000, Why: "set"})
	body := d.get("/box/" + b.String())
	for _, want := range []string{"<b>left</b>: dial 20, gives 9 lb/ac", "<b>right</b>: dial not known, gives not known", "each side its own"} {
		if !strings.Contains(body, want) {
			t.Errorf("lacks %q", want)
		}
	}
}
