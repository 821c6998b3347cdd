package mobile

import (
	"context"
	"crypto/rand"
	"errors"
	"net"
	"net/http"
	"time"

	"turnrow/client"
	"turnrow/client/page"
)

// Serve serves the page of this home on a loopback address, until Close, and gives
// the address to open in a web view. It carries a key, as other apps on the device
// can reach loopback too: show it to nobody. A second call gives the same address.
// The page exchanges nothing by itself: Run does. Errors are closed, and failed
// where the system gives no port.
func (h *Home) Serve() (string, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.home == nil || h.ends.Err() != nil {
		return "", failed(client.ErrClosed)
	}
	if h.address != "" {
		return h.address, nil
	}
	l, err := new(net.ListenConfig).Listen(h.ends, "tcp", "127.0.0.1:0")
	if err != nil {
		return "", failed(err)
	}
	key := rand.Text()
	srv := &http.Server{
		Handler: page.New(h.home, page.Options{Key: key}), ReadHeaderTimeout: 10 * time.Second,
		BaseContext: func(net.Listener) context.Context { return h.ends },
	}
	h.work.Go(func() {
		defer context.AfterFunc(h.ends, func() { srv.Close() })()
		if err := srv.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			h.mu.Lock()
			h.address = "" // another call serves anew
			h.mu.Unlock()
		}
	})
	h.address = "http://" + l.Addr().String() + "/?key=" + key
	return h.address, nil
}
