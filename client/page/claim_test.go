package page_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"turnrow/client/page"
	"turnrow/sync/entry"
)

var tags = regexp.MustCompile(`<[^>]*>`)

// seen is HTML without its tags.
func seen(html string) string { return tags.ReplaceAllString(html, "") }

// What the page says of a hitch claims no more than is known: on whose device
// somebody signed, how far READY goes, that a helper's signature is none, and
// that a newer list wants more.
func TestHitchClaimsNoMoreThanIsKnown(t *testing.T) {
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	h := newHouseAt(t, day.now)
	ada := foundAt(t, h.FoundingAddress(), day.now)
	ben := joinAt(t, ada, "Ben", entry.Operator, day.now)
	cal := joinAt(t, ada, "Cal", entry.Helper, day.now)
	meet(t, ada, ben, cal)
	v := ada.View()
	hitch := record(t, ada, &entry.HitchBegun{Checks: v.Checks[0].ID, Drill: v.Drills[0].ID})[0]
	meet(t, ada, cal)

	help := serve(t, cal, page.Options{Now: day.now})
	code, body := help.send("/hitch/sign", help.fresh(), "hitch="+hitch.String(), "item=1", "drill="+v.Drills[0].ID.String())
	if said := between(body, `id="wrote"`, "</div>"); code != http.StatusOK || strings.Contains(said, "Written:") ||
		!strings.Contains(said, "<strong>NOT SIGNED: engine off and key out</strong> An operator or an owner has to sign") {
		t.Errorf("a helper's signature: %d %s", code, said)
	}
	if body := help.get("/log"); !strings.Contains(body, "NOT SIGNED: engine off and key out") {
		t.Error("the log calls a helper's signature one")
	}

	member, _ := ada.View().MemberNamed("Ben")
	if _, err := ada.Record(within(t), member.ID, &entry.ItemSigned{Hitch: hitch, Item: 1}); err != nil {
		t.Fatal(err)
	}
	record(t, ada, &entry.ItemSigned{Hitch: hitch, Item: 2})
	day.pass(3 * time.Hour)
	own := serve(t, ada, page.Options{Now: day.now})
	for path, id := range map[string]string{"/hitch": "hitch", "/": "state"} {
		if !strings.Contains(seen(between(own.get(path), `id="`+id+`"`, "</div>")), "as far as this device knows, which met the others old: 3 hours ago") {
			t.Errorf("%s does not say how far READY goes", path)
		}
	}
	if signed := between(own.get("/hitch"), `id="item-1"`, "</li>"); !strings.Contains(signed, "Ben on Ada&#39;s device house tablet") {
		t.Errorf("on whose device is not said: %s", signed)
	}
	if !strings.Contains(own.get("/log"), "Ben, on house tablet (Ada&#39;s)") || !strings.Contains(own.get("/day"), "house tablet (Ada&#39;s)") {
		t.Error("log or sheet does not say on whose device")
	}
	if !strings.Contains(own.get("/day"), "as far as this device knows, which met the others 3 hours ago.") {
		t.Error("the sheet does not say how far READY goes")
	}

	record(t, ada, &entry.ChecksSet{Version: 2, Items: []entry.CheckItem{{Name: "jack up", Required: true}}})
	if body := own.get("/hitch"); !strings.Contains(body, "NOT READY") || !strings.Contains(body, "jack up (new on list 2") ||
		!strings.Contains(body, "There is a newer list of checks.") {
		t.Errorf("after a newer list: %s", between(body, `id="hitch"`, "</section>"))
	}
}

// Coated seed as tags print it: pure seed, coating, inert matter and other crop
// add up to 100 %, so its purity counts the coating (7 CFR 201.51b(f)), and live
// seed is 64 % × 90 %. Where they do not add up, the page asks, writes nothing,
// and keeps the answer with the lot.
func TestCoatedSeedAsTagsPrintIt(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	name := func(n string) []string { return []string{"name=" + n, "species=red clover", "germination=90"} }
	code, body := d.send("/newlot", d.fresh(), append(name("C-1"), "purity=64", "coating=34", "inert=1.5", "other=0.5")...)
	if live, err := lot(t, d.handset, "C-1").Tag.Live(); code != http.StatusOK || err != nil || live < 0.57599 || live > 0.57601 {
		t.Fatalf("%d: live %v, %v\n%s", code, live, err, between(body, "<main", "</main>"))
	}
	before := d.View().Entries
	code, body = d.send("/newlot", d.fresh(), append(name("C-2"), "purity=60", "coating=34")...)
	if code != http.StatusUnprocessableEntity || d.View().Entries != before || !strings.Contains(body, "Look at the tag") ||
		!strings.Contains(body, "the bag is 54% live seed then") || !strings.Contains(body, "the bag is 35.64% live seed then") {
		t.Fatalf("not asked: %d %s", code, between(body, `id="f-counted"`, "</fieldset>"))
	}
	if code, _ := d.send("/newlot", d.fresh(), append(name("C-2"), "purity=60", "coating=34", "counted=apart")...); code != http.StatusOK {
		t.Fatalf("answered: %d", code)
	}
	if live, err := lot(t, d.handset, "C-2").Tag.Live(); err != nil || live < 0.35639 || live > 0.35641 {
		t.Errorf("as answered: live %v, %v", live, err)
	}
}

// What was written in another year shows the year.
func TestOtherYearsShow(t *testing.T) {
	day := &clock{at: time.Date(2025, 12, 30, 7, 10, 0, 0, time.UTC)}
	ada := foundAt(t, "", day.now)
	day.pass(200 * 24 * time.Hour)
	record(t, ada, &entry.Noted{Text: "this year"})
	body := serve(t, ada, page.Options{Now: day.now}).get("/log")
	if !strings.Contains(body, "30 Dec 2025 08:10") {
		t.Error("the log shows last year's days as this year's")
	}
}
