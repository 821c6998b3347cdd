package page_test

import (
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/sync/entry"
)

// hold presses HOLD on a view, without any script, and gives what that leads to.
func (d *device) hold(view string) (int, string) {
	d.t.Helper()
	_, html := d.fetch(view)
	form := between(html, `action="/hold" class="raise"`, "</form>")
	if form == "" {
		d.t.Fatalf("%s has no HOLD", view)
	}
	return d.send("/hold", hidden(form))
}

// raised are the holds of a record, as they were written.
func raised(c *handset) (all []*entry.HoldRaised) {
	for _, l := range c.Lines() {
		if h, ok := l.Body.(*entry.HoldRaised); ok {
			all = append(all, h)
		}
	}
	return all
}

// One press on any view raises a hold, and leads to where who and why are asked.
func TestHoldFromEveryView(t *testing.T) {
	d := crewed(t)
	n := 0
	for name, path := range d.views() {
		n++
		code, body := d.hold(path)
		if code != http.StatusOK || len(raised(d.handset)) != n || !strings.Contains(body, "The hold is raised") {
			t.Fatalf("HOLD on %s: %d, %d holds, not %d", name, code, len(raised(d.handset)), n)
		}
	}
}

// Neither a token of an earlier start, nor none, nor text that no form takes
// stands between a press and its hold; another site does.
func TestNothingStopsAHold(t *testing.T) {
	c := found(t, "")
	d := serve(t, c, page.Options{})
	for i, form := range []string{"", "token=of+an+earlier+start&press=a&who=x/1", "press=%zz", "press=b&why=a%00%1b[2J", strings.Repeat("a", 2<<20)} {
		resp, err := (&http.Client{}).Post(d.url+"/hold", "application/x-www-form-urlencoded", strings.NewReader(form))
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusOK || len(raised(c)) != i+1 {
			t.Errorf("form %d: %s, %d holds", i, resp.Status, len(raised(c)))
		}
	}
	before := len(raised(c))
	for header, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "http://127.0.0.1:1"} {
		r, err := http.NewRequestWithContext(within(t), http.MethodPost, d.url+"/hold", nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set(header, value)
		resp, err := d.web.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusForbidden || len(raised(c)) != before {
			t.Errorf("another site, by %s: %s", header, resp.Status)
		}
	}
}

// A double tap raises one hold. The same button, on a view that is shown again
// after the release, raises another.
func TestTheSameButtonAfterARelease(t *testing.T) {
	c := found(t, "")
	d := serve(t, c, page.Options{})
	vals := url.Values{"press": {"one"}}
	d.send("/hold", vals)
	d.send("/hold", vals)
	if n := len(raised(c)); n != 1 {
		t.Fatalf("a double tap raised %d holds", n)
	}
	drill := c.View().Drills[0]
	record(t, c, &entry.HoldReleased{Drill: drill.ID, Holds: []entry.ID{drill.Hitch.Holds[0].Entry}, Why: "looked"})
	d.send("/hold", vals)
	if n := len(c.View().Drills[0].Hitch.Holds); n != 1 {
		t.Errorf("after a release, %d holds stand", n)
	}
}

// With several drills one press holds them all.
func TestAHoldOfAllDrills(t *testing.T) {
	c := found(t, "")
	name := "second drill"
	record(t, c, &entry.DrillSet{Name: entry.Some(name)})
	d := serve(t, c, page.Options{})
	_, body := d.hold("/")
	if !strings.Contains(body, "HOLD on every drill") {
		t.Error("the bar does not say that every drill is held")
	}
	for _, x := range c.View().Drills {
		if len(x.Hitch.Holds) != 1 {
			t.Errorf("%s has %d holds", x.Name, len(x.Hitch.Holds))
		}
	}
}

// On a shared screen with nobody chosen the hold is raised first, and says that
// it may have been anybody; who and why are a note about it by whoever it was.
func TestHoldWithNobodyChosen(t *testing.T) {
	c := found(t, "")
	ben := record(t, c, &entry.MemberAdded{Name: "Ben", Role: entry.Helper})[0]
	d := serve(t, c, page.Options{Shared: true})
	code, body := d.hold("/")
	if all := raised(c); code != http.StatusOK || len(all) != 1 || all[0].Why != "who it was is not said yet" {
		t.Fatalf("answered %d, holds %+v", code, all)
	}
	if !strings.Contains(body, "Who raised it?") {
		t.Fatal("not asked who raised it")
	}
	hold := c.View().Drills[0].Hitch.Holds[0].Entry
	vals := hidden(between(body, `class="whose"`, "</form>"))
	if code, body = d.send("/hold/"+hold.String(), vals, "who="+ben.String()); code != http.StatusOK || !strings.Contains(body, "raised the hold (Ben)") {
		t.Fatalf("saying who: %d\n%s", code, between(body, `id="holds"`, "<header"))
	}
	why := hidden(between(body, "</header>", "</main>"))
	why.Set("number", "of the reasons")
	if _, body = d.send("/hold/"+hold.String(), why, "reason=people"); !strings.Contains(between(body, `id="holds"`, "<header"), "someone is between tractor and drill") {
		t.Error("the bar does not say why")
	}
	if got := notesBy(c, ben); len(got) != 2 || len(raised(c)) != 1 {
		t.Errorf("Ben's notes: %q, %d holds", got, len(raised(c)))
	}
}

// A hold that a device cannot write says so, loudly, with what to do.
func TestHoldThatIsNotWritten(t *testing.T) {
	c := found(t, "")
	d := serve(t, c, page.Options{})
	form := hidden(d.get("/"))
	at := homeRestored(t, c)
	d = serve(t, at, page.Options{})
	if code, body := d.send("/hold", form); code != http.StatusUnprocessableEntity || !strings.Contains(body, "NOBODY KNOWS: SHOUT!") || !strings.Contains(body, "Press HOLD on another device") {
		t.Errorf("answered %d", code)
	}
}

// homeRestored is a home that came from a backup, which writes nothing.
func homeRestored(t *testing.T, c *handset) *handset {
	t.Helper()
	backup, home := filepath.Join(t.TempDir(), "backup"), t.TempDir()
	if _, err := c.Backup(backup); err != nil {
		t.Fatal(err)
	}
	if _, err := client.Restore(backup, home); err != nil {
		t.Fatal(err)
	}
	return handsetAt(t, home, nil)
}
