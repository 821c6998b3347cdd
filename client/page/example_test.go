package page_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"

	"turnrow/client"
	"turnrow/client/page"
)

// servePage is a program that serves the page of a home to this device's screen,
// and keeps level with the farm's server meanwhile, if there is one.
func servePage(ctx context.Context, dir string, ready func(address string)) error {
	h, err := client.Open(dir, client.Options{})
	if err != nil {
		return err
	}
	defer h.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	if f, err := h.Farm(); err == nil {
		go f.Run(ctx) // ends with the context, or with the home
	}
	srv := &http.Server{Handler: page.New(h, page.Options{})}
	defer context.AfterFunc(ctx, func() { srv.Close() })()
	ready("http://" + l.Addr().String() + "/")
	if err := srv.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func Example() {
	dir, err := os.MkdirTemp("", "home-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	ctx, stop := context.WithCancel(context.Background())
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- servePage(ctx, dir, func(address string) { at <- address }) }()
	resp, err := http.Get(<-at)
	if err != nil {
		panic(err)
	}
	text, err := io.ReadAll(resp.Body)
	fmt.Print(resp.Status, ": ", string(text))
	stop()
	fmt.Println(errors.Join(err, resp.Body.Close(), <-ended))
	// Output:
	// 503 Service Unavailable: This device belongs to no farm yet: found one on it, or join one.
	// <nil>
}
