package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os/exec"
	"runtime"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/page"
	"turnrow/sync/units"
)

// pageAddress is where the page is, unless it is told otherwise: always the same,
// so that a bookmark finds it, and beside the port of turnrow meet.
const pageAddress = "127.0.0.1:7417"

func newPageCommand(g *globals) *cobra.Command {
	return task{
		use: "page", short: "Serve the page for this device's own screen",
		long: `Serve the page for this device's own screen, with or without signal, until
interrupted: what is where now, and forms that write it down in two touches.
Meanwhile this device exchanges with the farm's server by itself whenever there
is one, and other turnrow commands on this home work as well.

The page is at the same address each time, for a bookmark: at another only where
another program listens there, and then says so.

The page is for this device alone: it listens on a loopback address, without a
password. With --reachable it listens where others on the network can reach it,
unencrypted: whoever is on that network can read along, and whoever has seen the
printed address can write as this device. Do that only on a network whose users
you all trust; turnrow sync, meet and invite are the safe ways to share.`,
		example: `  turnrow page --open
  turnrow page --listen 127.0.0.1:8080 --shared`,
		flags: func(f *pflag.FlagSet) {
			f.String("listen", pageAddress, "HOST:PORT to listen on; port 0 is any free one")
			f.Bool("open", false, "open the page in this device's browser")
			f.Bool("shared", false, "several people write on this screen: ask who, and keep it short")
			f.Bool("reachable", false, "allow an address that others can reach (read the risk above)")
		},
		work: servePage,
	}.command(g)
}

func servePage(k *call) error {
	ctx, stop := interrupted(k.cmd.Context())
	defer stop()
	l, key, err := k.pageListener(ctx)
	if err != nil {
		return err
	}
	defer l.Close()
	done, err := k.openDoor(ctx, k.home)
	if err != nil {
		return err
	}
	defer done()
	address := "http://" + shownAddress(l.Addr()) + "/"
	if key != "" {
		address += "?key=" + key
	}
	if err := k.show(answer.Page{Address: address}, []string{"The page is at " + address}); err != nil {
		return err
	}
	if k.Yes("open") {
		if err := openBrowser(ctx, address); err != nil {
			k.warn("no browser was opened: " + err.Error())
		}
	}
	return k.servePage(ctx, l, k.pageOptions(key))
}

// shownAddress is where a page is found that listens at an address: one of this
// device's own where it listens at all of them.
func shownAddress(a net.Addr) string {
	host, port, err := net.SplitHostPort(a.String())
	if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsUnspecified() {
		return a.String()
	}
	all, _ := net.InterfaceAddrs() // without any, loopback will do
	for _, at := range all {
		if n, ok := at.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsGlobalUnicast() {
			return net.JoinHostPort(n.IP.String(), port)
		}
	}
	return net.JoinHostPort("127.0.0.1", port)
}

// pageOptions are what the flags say; units only where they were given.
func (k *call) pageOptions(key string) page.Options {
	o := page.Options{Shared: k.Yes("shared"), Key: key, Zone: k.zone()}
	if k.Has("units") {
		o.Units = new(units.System)
		*o.Units = k.globals.system
	}
	return o
}

// pageListener listens on loopback. An address that others can reach has to be
// asked for, and gets a key.
func (k *call) pageListener(ctx context.Context) (l net.Listener, key string, err error) {
	listen := k.Text("listen")
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return nil, "", wrongCall{fmt.Errorf("--listen: %w", plainListen(listen, err))}
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		if !k.Yes("reachable") {
			return nil, "", wrongCall{fmt.Errorf("--listen %s: others on the network could read and write this farm's record; use 127.0.0.1, or add --reachable if you trust all who are on it", listen)}
		}
		key = rand.Text()
	}
	l, err = new(net.ListenConfig).Listen(ctx, "tcp", listen)
	if errors.Is(err, syscall.EADDRINUSE) && !k.Has("listen") {
		k.warn("another program listens at " + listen + ": the page has another address this time, which a bookmark does not find")
		l, err = new(net.ListenConfig).Listen(ctx, "tcp", "127.0.0.1:0")
	}
	if err != nil {
		return nil, "", fmt.Errorf("--listen: %w", plainListen(listen, err))
	}
	return l, key, nil
}

// servePage serves until the context ends, and keeps level with the farm's
// server meanwhile.
func (k *call) servePage(ctx context.Context, l net.Listener, o page.Options) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	srv := &http.Server{
		Handler: page.New(k.home, o), ReadHeaderTimeout: 10 * time.Second,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	var all sync.WaitGroup
	var served, levelled error
	all.Go(func() {
		defer stop()
		served = srv.Serve(l)
	})
	all.Go(func() {
		if levelled = k.keepLevel(ctx); levelled != nil {
			stop()
		}
	})
	<-ctx.Done()
	quiet, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if srv.Shutdown(quiet) != nil {
		srv.Close()
	}
	all.Wait()
	return errors.Join(ignoreClosed(served), levelled)
}

// keepLevel exchanges with the server of the farm that is open, as that may change.
func (k *call) keepLevel(ctx context.Context) error {
	return k.onFarm(func(f *client.Farm) error { return f.KeepLevel(ctx) })
}

func ignoreClosed(err error) error {
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// openBrowser asks the system to show an address.
func openBrowser(ctx context.Context, address string) error {
	switch runtime.GOOS {
	case "windows":
		return exec.CommandContext(ctx, "rundll32", "url.dll,FileProtocolHandler", address).Run()
	case "darwin":
		return exec.CommandContext(ctx, "open", address).Run()
	}
	return exec.CommandContext(ctx, "xdg-open", address).Run()
}
