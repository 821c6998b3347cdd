package compress_test

import (
	"bytes"
	"compress/gzip"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"testing"

	"github.com/klauspost/compress/zstd"
	"pgregory.net/rapid"

	"turnrow/sync/compress"
	"turnrow/sync/exchange"
)

func packed(t testing.TB, message []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	w, err := compress.Zstd{}.Compress(&out)
	if err != nil {
		t.Fatal(err)
	}
	for _, half := range [][]byte{message[:len(message)/2], message[len(message)/2:]} { // gRPC hands a message over in pieces
		if _, err := w.Write(half); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func unpacked(packed []byte) ([]byte, error) {
	r, err := compress.Zstd{}.Decompress(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// form is a compressor as gRPC asks for it.
type form interface {
	Name() string
	Compress(io.Writer) (io.WriteCloser, error)
	Decompress(io.Reader) (io.Reader, error)
}

func TestThereAndBack(t *testing.T) {
	for _, f := range []form{compress.Zstd{}, compress.Deflate{}} {
		t.Run(f.Name(), rapid.MakeCheck(func(t *rapid.T) {
			message := bytes.Repeat(rapid.SliceOf(rapid.Byte()).Draw(t, "message"), rapid.IntRange(0, 300).Draw(t, "times"))
			var out bytes.Buffer
			w, _ := f.Compress(&out)
			_, _ = w.Write(message)
			if err := w.Close(); err != nil {
				t.Fatal(err)
			}
			r, err := f.Decompress(&out)
			if err != nil {
				t.Fatal(err)
			}
			if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, message) {
				t.Fatalf("%d bytes came back of %d: %v", len(got), len(message), err)
			}
		}))
	}
}

// What other programs write is read: RFC 8878 and RFC 1951 in other
// implementations' bytes (`printf 'gate left open\n' | zstd -c --no-check`, and
// zlib 1.2.13 with a window of -15 bits).
func TestReadsOthers(t *testing.T) {
	for f, text := range map[form]string{
		compress.Zstd{}:    "28b52ffd005879000067617465206c656674206f70656e0a",
		compress.Deflate{}: "4b4f2c4955c8494d2b51c82f48cde30200",
	} {
		b, err := hex.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		r, err := f.Decompress(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(r); err != nil || string(got) != "gate left open\n" {
			t.Errorf("%s: %q, %v", f.Name(), got, err)
		}
	}
}

// A message that would fill the receiver's memory is refused.
func TestBombs(t *testing.T) {
	e, err := zstd.NewWriter(nil)
	if err != nil {
		t.Fatal(err)
	}
	bomb := e.EncodeAll(make([]byte, exchange.MaxCall+1), nil)
	if _, err := unpacked(bomb); !errors.Is(err, zstd.ErrDecoderSizeExceeded) {
		t.Errorf("%d bytes in %d: %v", exchange.MaxCall+1, len(bomb), err)
	}
	for _, junk := range []string{"", "x", "not compressed at all", string(bomb[:len(bomb)-1])} {
		if got, err := unpacked([]byte(junk)); junk != "" && err == nil {
			t.Errorf("%q is read as %q", junk, got)
		}
	}
}

// It is there because it takes a fraction of gzip's time for much the same
// bytes: fewer in what a catch-up says, hardly more in what fills a message.
func TestAboutAsSmallAsGzip(t *testing.T) {
	for _, n := range []int{10, 20_000} {
		var message []byte
		for i := range n {
			message = fmt.Appendf(message, "dial of the clover box looked at: %d; ", i*i%9973)
		}
		var z bytes.Buffer
		w := gzip.NewWriter(&z)
		if _, err := w.Write(message); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		if got := len(packed(t, message)); got > z.Len()*11/10 || n == 10 && got > z.Len() {
			t.Errorf("%d bytes of %d, gzip makes %d", got, len(message), z.Len())
		}
	}
}
