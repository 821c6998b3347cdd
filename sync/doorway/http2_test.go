package doorway

import (
	"bytes"
	"crypto/tls"
	"errors"
	"io"
	"net"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"

	servicev1 "turnrow/proto/turnrow/service/v1"
)

// framed is a connection of a caller that is no gRPC client: it sends what it
// likes, and sees each frame of the answer.
type framed struct {
	*http2.Framer
	conn net.Conn
	t    *testing.T
}

// dialled is a connection that has introduced itself by TLS, and no more.
func dialled(t *testing.T, addr string) *tls.Conn {
	t.Helper()
	conn, err := tls.DialWithDialer(&net.Dialer{Timeout: patience}, "tcp", addr, shown())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
	return conn
}

// framedTo is a connection on which calls may follow.
func framedTo(t *testing.T, addr string) *framed {
	t.Helper()
	conn := dialled(t, addr)
	f := &framed{http2.NewFramer(conn, conn), conn, t}
	_, err := io.WriteString(conn, http2.ClientPreface)
	if err := errors.Join(err, f.WriteSettings()); err != nil {
		t.Fatal(err)
	}
	return f
}

// call sends the headers of an exchange, with more among them.
func (f *framed) call(stream uint32, more ...hpack.HeaderField) {
	f.t.Helper()
	var b bytes.Buffer
	enc := hpack.NewEncoder(&b)
	for _, h := range append([]hpack.HeaderField{
		{Name: ":method", Value: "POST"}, {Name: ":scheme", Value: "https"}, {Name: ":path", Value: servicev1.ExchangeService_Exchange_FullMethodName},
		{Name: ":authority", Value: "x"}, {Name: "content-type", Value: "application/grpc"}, {Name: "te", Value: "trailers"},
	}, more...) {
		if err := enc.WriteField(h); err != nil {
			f.t.Fatal(err)
		}
	}
	for first := true; first || b.Len() > 0; first = false {
		part := b.Next(16 << 10)
		var err error
		if first {
			err = f.WriteHeaders(http2.HeadersFrameParam{StreamID: stream, BlockFragment: part, EndHeaders: b.Len() == 0})
		} else {
			err = f.WriteContinuation(stream, b.Len() == 0, part)
		}
		if err != nil {
			f.t.Fatal(err)
		}
	}
}

// await reads until a frame is what is looked for, or fails.
func await[F http2.Frame](f *framed, fits func(F) bool) {
	f.t.Helper()
	for {
		frame, err := f.ReadFrame()
		if err != nil {
			var want F
			f.t.Fatalf("no %T came: %v", want, err)
		}
		if got, ok := frame.(F); ok && fits(got) {
			return
		}
	}
}

// closed fails unless the other ends the connection.
func closed(t *testing.T, conn net.Conn) {
	t.Helper()
	var late net.Error
	if _, err := io.Copy(io.Discard, conn); errors.As(err, &late) && late.Timeout() {
		t.Error("the connection is open still")
	}
}
