package page_test

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/page"
)

// Where a device can write nothing, the page says why and what to do, keeps what
// was typed, and writes nothing.
func TestARefusalSaysWhatToDo(t *testing.T) {
	home := t.TempDir()
	at := func(home string) *handset { return handsetAt(t, home, nil) }
	ada := at(home)
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	backup, restored, copied := filepath.Join(t.TempDir(), "backup"), t.TempDir(), t.TempDir()
	if _, err := ada.Backup(backup); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{restored, copied} {
		if _, err := client.Restore(backup, to); err != nil {
			t.Fatal(err)
		}
	}
	key, err := os.ReadFile(filepath.Join(home, "device.pem"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(copied, "device.pem"), key, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ home, why, next string }{
		{restored, "put back from a backup", "An owner gives it a new invite"},
		{copied, "a copy of it writes under the same name", "An owner gives it a new invite"},
	} {
		d := serve(t, at(c.home), page.Options{})
		code, body := d.post("/note", "text=gate is open")
		said := between(body, `id="wrong"`, "</div>")
		if code != http.StatusUnprocessableEntity || !strings.Contains(said, c.why) || !strings.Contains(said, c.next) || !strings.Contains(body, "gate is open") {
			t.Errorf("%d: %s", code, said)
		}
	}
}
