package page_test

import (
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/page"
	"turnrow/sync/entry"
)

// A page whose home is of no farm yet says so, and is the farm's once one was
// founded there. One whose home is closed says that, and not that it has no farm.
func TestThePageOfAHomeWithoutAFarm(t *testing.T) {
	d := serve(t, open(t, nil), page.Options{})
	if code, body := d.fetch("/"); code != http.StatusServiceUnavailable || !strings.Contains(body, "belongs to no farm yet") {
		t.Errorf("without a farm: %d, %s", code, body)
	}
	if _, err := d.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	if code, body := d.fetch("/"); code != http.StatusOK || !strings.Contains(body, "Upper Lea") {
		t.Errorf("with one: %d", code)
	}
	if err := d.Home.Close(); err != nil {
		t.Fatal(err)
	}
	if code, body := d.fetch("/"); code != http.StatusServiceUnavailable || !strings.Contains(body, "is ending here") {
		t.Errorf("closed: %d, %s", code, body)
	}
}

// Where the home takes another identity while the page is open, the streams of
// the one before end, so that browsers ask anew, and the page writes as the one
// that is there.
func TestThePageGoesOnAsTheNewIdentity(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	backup, home := filepath.Join(t.TempDir(), "backup"), t.TempDir()
	if _, err := ada.Backup(backup); err != nil {
		t.Fatal(err)
	}
	if _, err := client.Restore(backup, home); err != nil {
		t.Fatal(err)
	}
	invite, err := ada.Invite(within(t), "Ben", entry.Helper)
	if err != nil {
		t.Fatal(err)
	}
	meet(t, ada)
	ben := handsetAt(t, home, nil)
	d := serve(t, ben, page.Options{})
	if code, _ := d.post("/note", "text=gate is open"); code != http.StatusUnprocessableEntity {
		t.Errorf("a home without an identity writes: %d", code)
	}
	events := d.events()
	<-events
	if _, err := ben.Join(within(t), invite, "Ben's phone"); err != nil {
		t.Fatal(err)
	}
	for range events { // ends with the identity
		continue
	}
	d.post("/note", "text=gate is open")
	if got, ok := latest(d.handset).(*entry.Noted); !ok || got.Text != "gate is open" {
		t.Errorf("after joining, what was written last is %+v", latest(d.handset))
	}
}
