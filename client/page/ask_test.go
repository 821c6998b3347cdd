package page_test

import (
	"html"
	"net/http"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// answers are the values of a question's buttons, in order, by what they say.
func answers(body string) (values, says []string) {
	for _, part := range strings.Split(body, `name="answer" value="`)[1:] {
		value, rest, _ := strings.Cut(part, `"`)
		values = append(values, html.UnescapeString(value))
		figure, how, _ := strings.Cut(between(rest, "<b>", "</button>"), "</b>")
		how = strings.TrimSuffix(strings.TrimPrefix(how, " <span>"), "</span>")
		says = append(says, html.UnescapeString(figure+", "+how))
	}
	return values, says
}

// What is unlikely is asked about with the likely readings as buttons. Nothing
// is written until one is pressed, and what was typed is not lost.
func TestUnlikelyIsAskedAbout(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	path := "/box/" + box(t, d.handset, "grain").ID.String() + "/catch"
	typed := []string{"lot=" + lot(t, d.handset, "O-1").ID.String(), "dial=30", "turns=20", "rows=4", "caught=1240"}
	before := d.View().Entries
	code, body := d.post(path, typed...)
	values, says := answers(body)
	if code != http.StatusConflict || d.View().Entries != before || len(says) != 2 {
		t.Fatalf("answered %d with %q, %d entries more", code, says, d.View().Entries-before)
	}
	if says[0] != "1,240 g, as written" || says[1] != "124 g, a point left out" || !strings.Contains(body, "the chart says") {
		t.Errorf("asked so: %q", says)
	}
	ask := hidden(body)

	ask.Set("change", "yes")
	if code, body := d.send(path, ask); code != http.StatusOK || !strings.Contains(body, `value="1240"`) || d.View().Entries != before {
		t.Errorf("what was typed is gone, or written: %d", code)
	}
	ask.Del("change")

	for range 2 { // a double tap is once
		d.send(path, ask, "answer="+values[1])
	}
	if got := latest(d.handset).(*entry.Caught); got.Masses[0] != 124_000 || d.View().Entries != before+1 {
		t.Errorf("the other reading wrote %+v, %d entries", got, d.View().Entries-before)
	}

	_, body = d.post(path, typed...)
	values, _ = answers(body)
	d.send(path, hidden(body), "answer="+values[0])
	st, ok := latest(d.handset).(*entry.Settled)
	if !ok || st.Doubt != string(farm.UnlikelyCatch) || st.Choice != entry.AsWritten || d.View().Entries != before+3 {
		t.Errorf("a yes wrote %+v, %d entries", latest(d.handset), d.View().Entries-before)
	}
	for x := range words.Doubts(d.View()) {
		if x.Kind == farm.UnlikelyCatch && !x.Settled {
			t.Error("a yes did not settle it")
		}
	}
}

// An answer is to what was asked: a yes to one figure is none to another.
func TestAYesIsToOneFigure(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	path := "/box/" + box(t, d.handset, "grain").ID.String() + "/catch"
	typed := []string{"lot=" + lot(t, d.handset, "O-1").ID.String(), "dial=30", "turns=20", "rows=4", "caught=1240"}
	_, body := d.post(path, typed...)
	values, _ := answers(body)
	ask := hidden(body)
	ask["caught"] = []string{"12400"}
	before := d.View().Entries
	if code, _ := d.send(path, ask, "answer="+values[0]); code != http.StatusConflict || d.View().Entries != before {
		t.Errorf("written by a yes to another figure: %d", code)
	}
}

// What came in doubt is settled on its own view by either reading.
func TestASlipIsSettledOnThePage(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	id := record(t, d.handset, &entry.Caught{Box: box(t, d.handset, "grain").ID, Lot: lot(t, d.handset, "O-1").ID,
		Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{1_240_000}})[0]
	for x := range words.Doubts(d.View()) {
		if x.Kind == farm.UnlikelyCatch {
			if body := d.get("/doubt/" + x.ID()); !strings.Contains(body, "the chart says") || !strings.Contains(body, "124 g (a point left out)") {
				t.Errorf("the view of the doubt lacks why, or the other reading")
			}
			d.post("/doubt/"+x.ID(), "choice=1", "why=weighed it again")
		}
	}
	if l, _ := d.handset.Line(id); l.Now.(*entry.Caught).Masses[0] != 124_000 {
		t.Errorf("stands as %+v", l.Now)
	}
}
