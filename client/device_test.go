package client_test

import (
	"context"
	"testing"

	"turnrow/client"
)

// device is a device as a person has it: a home, and the farm that it is of, nil
// until it was founded, joined or recovered there.
type device struct {
	*client.Home
	*client.Farm
}

// deviceAt opens a home. It is closed with the test.
func deviceAt(t testing.TB, home string, o client.Options) *device {
	t.Helper()
	h, err := client.Open(home, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := h.Close(); err != nil {
			t.Error(err)
		}
	})
	d := &device{Home: h}
	d.Farm, _ = h.Farm()
	return d
}

func (d *device) Found(ctx context.Context, o client.FoundOptions) (client.Founded, error) {
	f, err := d.Home.Found(ctx, o)
	d.Farm, _ = d.Home.Farm()
	return f, err
}

func (d *device) Join(ctx context.Context, invite, name string) (client.Joined, error) {
	j, err := d.Home.Join(ctx, invite, name)
	d.Farm, _ = d.Home.Farm()
	return j, err
}

func (d *device) Recover(ctx context.Context, code, name string) (client.Recovered, error) {
	r, err := d.Home.Recover(ctx, code, name)
	d.Farm, _ = d.Home.Farm()
	return r, err
}
