package bench

import (
	"io"
	"net"
	"slices"
	"testing"
	"time"
)

// echo answers with whatever it is sent.
func echo(t *testing.T) string {
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { lis.Close() })
	go func() {
		for {
			c, err := lis.Accept()
			if err != nil {
				return
			}
			go func() { defer c.Close(); _, _ = io.Copy(c, c) }()
		}
	}()
	return lis.Addr().String()
}

// A link passes on all bytes in order, and a cut one not all.
func TestProxy(t *testing.T) {
	sent := make([]byte, 20_000)
	for i := range sent {
		sent[i] = byte(i * i >> 5)
	}
	for _, after := range []int{0, 5000} {
		p, err := newProxy(t.Context(), echo(t), link{100 << 20, time.Microsecond, func() (int, bool) { return after, after > 0 }})
		if err != nil {
			t.Fatal(err)
		}
		c, err := net.Dial("tcp", p.addr())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		go func() { _, _ = c.Write(sent) }()
		got := make([]byte, len(sent))
		n, err := io.ReadFull(c, got)
		switch {
		case after == 0 && (err != nil || !slices.Equal(got, sent) || p.out.Load() != int64(len(sent))):
			t.Errorf("%d bytes came back, %d counted: %v", n, p.out.Load(), err)
		case after > 0 && (err == nil || p.cuts.Load() == 0):
			t.Errorf("cut after %d bytes, and %d came back", after, n)
		}
	}
}

func TestQuantile(t *testing.T) {
	hundred := make([]float64, 100)
	for i := range hundred {
		hundred[i] = float64(100 - i)
	}
	if q := quantile(hundred, 0.99); q != 99 {
		t.Errorf("99th percentile of 1 to 100 is %v by the nearest rank, not 99", q)
	}
	if m := median([]float64{5, 1, 3}); m != 3 {
		t.Errorf("median %v", m)
	}
}
