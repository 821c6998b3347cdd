package transport

import (
	"context"
	"net"
	"slices"
	"time"
)

// lookEvery is how often the machine's addresses are looked at. There is no
// one way to be told of them on all systems, and looking costs microseconds.
const lookEvery = 3 * time.Second

// NetworkChanges tells when the machine's addresses change to some: a network
// has come up, or another one. It ends with the context.
func NetworkChanges(ctx context.Context) <-chan struct{} {
	return changes(ctx, lookEvery, addresses)
}

func changes(ctx context.Context, every time.Duration, addresses func() []string) <-chan struct{} {
	changed := make(chan struct{}, 1)
	go func() {
		ticker := time.NewTicker(every)
		defer ticker.Stop()
		last := addresses()
		for {
			select {
			case <-ticker.C:
			case <-ctx.Done():
				return
			}
			now := addresses()
			if len(now) > 0 && !slices.Equal(now, last) {
				select {
				case changed <- struct{}{}:
				default: // the last one has not been looked at yet
				}
			}
			last = now
		}
	}()
	return changed
}

// addresses are the machine's addresses that others could reach, sorted.
func addresses() []string {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var out []string
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			out = append(out, a.String())
		}
	}
	slices.Sort(out)
	return out
}
