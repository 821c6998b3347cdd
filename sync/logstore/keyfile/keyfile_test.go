package keyfile_test

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"turnrow/sync/logstore/keyfile"
)

func TestReadsBackWhatOnlyTheUserCanRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "key")
	if _, err := keyfile.Read(path); !errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("no file: %v", err)
	}
	if err := keyfile.Write(path, []byte("secret")); err != nil {
		t.Fatal(err)
	}
	if b, err := keyfile.Read(path); err != nil || !bytes.Equal(b, []byte("secret")) {
		t.Fatalf("%q, %v", b, err)
	}
	if err := keyfile.Write(path, []byte("another")); !errors.Is(err, fs.ErrExist) {
		t.Fatalf("written over: %v", err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Fatalf("left behind: %v, %v", left, err)
	}
}

func TestRefusesWhatOthersCanRead(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("rights are kept elsewhere on Windows")
	}
	path := filepath.Join(t.TempDir(), "key")
	if err := keyfile.Write(path, []byte("secret")); err != nil {
		t.Fatal(err)
	}
	for _, mode := range []os.FileMode{0o640, 0o604, 0o620, 0o666, 0o601} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		if _, err := keyfile.Read(path); !errors.Is(err, keyfile.ErrExposed) {
			t.Errorf("mode %04o: %v", mode, err)
		}
	}
}
