package logstore_test

import (
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// body runs the contract on stores of one file system.
type body struct {
	fs  vfs.FS
	dir string
}

func (b body) Open(t testing.TB, name string) logtest.Store {
	t.Helper()
	return store{logtest.Must(logstore.Open(b.dir+"/"+name, logstore.Options{FS: b.fs}))(t)}
}

type store struct{ *logstore.Store }

func (s store) Farm(id entry.FarmID) (logtest.Log, error) { return s.Store.Farm(id) }

func (s store) Faults() ([]string, error) {
	r, err := s.Verify(nil)
	var faults []string
	for _, f := range r.Faults {
		faults = append(faults, f.String())
	}
	return faults, err
}

var errs = logtest.Errors{Key: logstore.ErrKey, Unseen: logstore.ErrUnseen, Forked: logstore.ErrForked}

func TestContractOnDisk(t *testing.T) { logtest.Run(t, body{dir: t.TempDir()}, errs) }

func TestContractInMemory(t *testing.T) {
	b := body{fs: vfs.NewMem(), dir: "stores"}
	logtest.Run(t, b, errs)
	logtest.Properties(t, b)
}
