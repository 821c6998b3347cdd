package client

import (
	"context"
	"fmt"
	"net"

	"turnrow/sync/cert"
	"turnrow/sync/chain"
	"turnrow/sync/doorway"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// DefaultMeet is where a device meets others that is not told where.
const DefaultMeet = ":7868"

// Meet lets other devices of the farm exchange with this one at an address,
// HOST:PORT, until the context ends, or the farm is closed (ErrClosed). Ready is told the address at which they
// find it. The certificate is over the device's own key, which the record
// names: there is no pin to type.
func (f *Farm) Meet(ctx context.Context, listen string, ready func(address string)) error {
	me, err := f.writes()
	if err != nil {
		return err
	}
	if listen == "" {
		listen = DefaultMeet
	}
	crt, err := cert.Make(me.key, me.device.String(), f.now())
	if err != nil {
		return err
	}
	var lc net.ListenConfig
	lis, err := lc.Listen(ctx, "tcp", listen)
	if err != nil {
		return fmt.Errorf("%w at %s: %w", ErrListen, listen, err)
	}
	mine := []string{cert.PinOf(crt.Certificate[0]).Audience()}
	ctx, stop := f.whileOpen(ctx)
	defer stop()
	handler := replica.NewHandler(only{f.replica}, f.replica.Generation(), func() []string { return mine }, f.now, f.log)
	handler.Heard = f.heard
	ready(replica.Reachable(lis.Addr()))
	err = doorway.New(doorway.AtMeeting, handler, cert.TLS(crt), f.log).Serve(ctx, lis)
	if f.isClosed() {
		return ErrClosed
	}
	return err
}

// heard remembers what a device that calls says that it holds, so that what it
// took from here before does not count as pending any more.
func (f *Farm) heard(d entry.DeviceID, have chain.Frontier) {
	name := peerDevice(d)
	m, err := f.memory(name)
	if err == nil {
		m.Stored = have
		err = f.remember(name, m)
	}
	f.meets(err)
	if err != nil {
		f.log.Error("cannot remember what a device holds", "device", d, "err", err)
	}
}

// only is the one farm of a device. It implements replica.Farms.
type only struct{ replica *replica.Replica }

func (o only) Farm(id entry.FarmID) (*replica.Replica, func(), error) {
	if id != o.replica.Farm() {
		return nil, nil, exchange.ErrFarm
	}
	return o.replica, func() {}, nil
}

func (only) Found(entry.FarmID, entry.Run, string) error { return exchange.ErrFarm }
