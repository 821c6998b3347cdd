package server_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"turnrow/client"
	"turnrow/server"
)

// A server on this machine, and a device that founds a farm at it.
func Example() {
	dir, err := os.MkdirTemp("", "example-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	s, err := server.New(server.Config{Data: filepath.Join(dir, "server"), Listen: "127.0.0.1:0"})
	if err != nil {
		panic(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()

	at, err := s.FoundingAddress() // what whoever runs it gives to the owner of a farm, once
	if err != nil {
		panic(err)
	}
	err = foundAtServer(ctx, filepath.Join(dir, "home"), at)
	farms, listed := s.Farms()
	for _, f := range farms {
		fmt.Println("farms:", len(farms), "entries:", f.Entries)
	}
	stop()
	fmt.Println(errors.Join(err, listed, <-ended))
	// Output:
	// porter: true
	// farms: 1 entries: 3
	// <nil>
}

func foundAtServer(ctx context.Context, home, at string) error {
	h, err := client.Open(home, client.Options{})
	if err != nil {
		return err
	}
	f, err := h.Found(ctx, client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: at})
	fmt.Println("porter:", f.Porter) // it lets in whoever has an invite
	return errors.Join(err, f.Away, h.Close())
}
