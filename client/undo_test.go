package client_test

import (
	"errors"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"
	"github.com/cockroachdb/pebble/v2/vfs/errorfs"

	"turnrow/client"
	"turnrow/sync/entry"
)

// Where a founding fails and the disk does not even let the home be opened
// again, whoever founds or joins next is told so, and once there is room the
// home opens by itself.
func TestAHomeThatCouldNotBeOpenedAgain(t *testing.T) {
	var full atomic.Bool
	disk := errorfs.Wrap(vfs.Default, errorfs.InjectorFunc(func(op errorfs.Op) error {
		if full.Load() && op.Kind == errorfs.OpMkdirAll {
			return syscall.ENOSPC
		}
		return nil
	}))
	ada := found(t, "")
	invite := invited(t, ada, "Ben", entry.Operator)
	for what, begin := range map[string]func(*device) error{
		"found": func(d *device) error {
			_, err := d.Found(within(t), client.FoundOptions{Farm: "Lea", Owner: "Eve"})
			return err
		},
		"join": func(d *device) error {
			_, err := d.Join(within(t), invite, "phone")
			return err
		},
	} {
		d := deviceAt(t, t.TempDir(), client.Options{FS: disk})
		full.Store(true)
		if _, err := d.Found(within(t), client.FoundOptions{Owner: "Eve"}); err == nil || !errors.Is(err, syscall.ENOSPC) {
			t.Errorf("%s: a farm without a name on a full disk: %v", what, err)
		}
		if err := begin(d); !errors.Is(err, syscall.ENOSPC) {
			t.Errorf("%s on a full disk: %v", what, err)
		}
		full.Store(false)
		if err := begin(d); err != nil || d.Farm == nil {
			t.Errorf("%s with room again: %v", what, err)
		}
		if err := d.Close(); err != nil {
			t.Error(err)
		}
		if err := begin(d); !errors.Is(err, client.ErrClosed) {
			t.Errorf("%s in a closed home: %v", what, err)
		}
	}
}
