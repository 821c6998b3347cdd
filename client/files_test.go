package client_test

import (
	"bytes"
	"crypto/tls"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"testing"

	"turnrow/client"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/wire"
)

// handshakes shows a certificate to whoever comes.
func handshakes(lis net.Listener, c tls.Certificate) {
	for {
		conn, err := lis.Accept()
		if err != nil {
			return
		}
		go func() {
			defer conn.Close()
			_ = tls.Server(conn, cert.TLS(c)).Handshake() // what becomes of it is the caller's to see
		}()
	}
}

func copyDir(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(filepath.Join(to, "device.pem"), 0o600); err != nil {
		t.Fatal(err)
	}
}

func carryOut(t *testing.T, c *device) []byte {
	t.Helper()
	var b bytes.Buffer
	n, err := c.CarryOut(&b)
	if err != nil || uint64(n) != c.Digest().Entries {
		t.Fatalf("carried out %d entries of %d: %v", n, c.Digest().Entries, err)
	}
	return b.Bytes()
}

func reader(b []byte) io.Reader { return bytes.NewReader(b) }

// A carry file that is torn or changed at any byte brings in nothing that was
// not written, and says that something is amiss.
func TestCarryFileTornOrChanged(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	note(t, ada, "one", "two")
	whole := carryOut(t, ada)
	for i := 0; i < len(whole); i += 7 {
		if _, err := ben.CarryIn(reader(whole[:i])); !errors.Is(err, wire.ErrCarry) {
			t.Errorf("torn at %d of %d: %v", i, len(whole), err)
		}
		changed := bytes.Clone(whole)
		changed[i] ^= 0x10
		if got, err := ben.CarryIn(reader(changed)); err == nil {
			t.Errorf("changed at %d: %+v, no error", i, got)
		}
	}
	if _, err := ben.CarryIn(reader(whole)); err != nil {
		t.Fatal(err)
	}
	if r, err := ben.Verify(nil); err != nil || len(r.Faults) != 0 {
		t.Errorf("afterwards: %+v, %v", r, err)
	}
	if _, err := ada.CarryIn(reader(carryOut(t, ben))); err != nil {
		t.Fatal(err)
	}
	if _, err := ben.CarryIn(reader(carryOut(t, ada))); err != nil {
		t.Fatal(err)
	}
	sameEverywhere(t, ada, ben)
}

func TestExposedKeyIsRefused(t *testing.T) {
	home := t.TempDir()
	c := open(t, home)
	if _, err := c.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(filepath.Join(home, "device.pem"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := client.Open(home, client.Options{}); !errors.Is(err, keyfile.ErrExposed) {
		t.Errorf("key readable by others: %v", err)
	}
}

func TestSecondProcessIsRefused(t *testing.T) {
	home := t.TempDir()
	open(t, home)
	if _, err := client.Open(home, client.Options{}); !errors.Is(err, logstore.ErrLocked) {
		t.Errorf("a home that is open: %v", err)
	}
}

func TestInviteTextsThatAreNone(t *testing.T) {
	ada := found(t, "")
	invite := invited(t, ada, "Ben", entry.Operator)
	for _, text := range []string{"", "hello", "https://example.org/?farm=1", invite[:len(invite)-30], "turnrow://", "turnrow://%zz", "turnrow:///?farm=a"} {
		if _, err := client.ParseInvite(text); !errors.Is(err, client.ErrAddress) {
			t.Errorf("%q: %v", text, err)
		}
	}
	got, err := client.ParseInvite(" " + invite + "\n")
	if err != nil || got.Person != "Ben" || got.Role != entry.Operator || got.FarmName != "Upper Lea" || got.String() != invite {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestOnlyAnOwnerInvites(t *testing.T) {
	ada := found(t, "")
	ben := joinAway(t, invited(t, ada, "Ben", entry.Operator))
	syncWith(t, ben, meeting(t, ada))
	if _, err := ben.Invite(within(t), "Cleo", entry.Helper); !errors.Is(err, client.ErrOwner) {
		t.Errorf("an operator invites: %v", err)
	}
	if _, err := ada.Invite(within(t), "Ben", entry.Helper); err == nil {
		t.Error("a person was invited with another role than theirs")
	}
}
