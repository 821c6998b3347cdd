package main

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// nobody is a user who is not root: root may write whatever a file's mode says.
const nobody = 65534

// A home that this user may only read is read, and says why it is not written.
func TestHomeThatMayOnlyBeRead(t *testing.T) {
	bin, dir := built(t), t.TempDir()
	home := filepath.Join(dir, "home")
	var user *syscall.Credential
	if os.Getuid() == 0 {
		user = &syscall.Credential{Uid: nobody, Gid: nobody}
		for _, d := range []string{bin, filepath.Dir(dir)} {
			if err := os.Chmod(d, 0o755); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Chown(dir, nobody, nobody); err != nil {
			t.Fatal(err)
		}
	}
	turnrow := func(want int, args ...string) string {
		t.Helper()
		c := exec.Command(filepath.Join(bin, "turnrow"), append([]string{"--home", home}, args...)...)
		c.Dir, c.Env = dir, append(os.Environ(), "HOME="+dir)
		c.SysProcAttr = &syscall.SysProcAttr{Credential: user}
		out, _ := c.CombinedOutput()
		if got := c.ProcessState.ExitCode(); got != want {
			t.Errorf("turnrow %v: exit code %d, not %d:\n%s", args, got, want, out)
		}
		return string(out)
	}
	writable := func(bits fs.FileMode) {
		t.Helper()
		err := filepath.WalkDir(home, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			info, err := d.Info()
			if err != nil {
				return err
			}
			return os.Chmod(path, info.Mode()&^0o222|bits)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	turnrow(0, "found", "--farm", "Windgap", "--owner", "Ada")
	turnrow(0, "note", "rain by four")
	writable(0)
	if got := turnrow(0, "log"); !strings.Contains(got, "rain by four") {
		t.Errorf("the log says:\n%s", got)
	}
	if got := turnrow(1, "note", "x"); !strings.HasPrefix(got, "turnrow: the disk takes no writes: this user may not write there: have its rights changed: "+home) {
		t.Errorf("writing says: %s", got)
	}
	writable(0o200)
	turnrow(0, "note", "goes on")
}
