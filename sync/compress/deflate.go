package compress

import (
	"bytes"
	"compress/flate"
	"io"
	"sync"
)

// Deflate compresses small messages: DEFLATE (RFC 1951) without a wrapper, as
// TLS beneath, and the signatures within, find any flaw. The zero value is
// ready, and safe for concurrent use.
type Deflate struct{}

// Name is how calls name the form: as the Compression Streams standard does.
func (Deflate) Name() string { return "deflate-raw" }

var deflaters = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, flate.BestCompression)
	if err != nil {
		panic(err) // for a level that there is not
	}
	return w
}}

// Compress gives a writer of one message. What it is given goes to w,
// compressed, when it is closed.
func (Deflate) Compress(w io.Writer) (io.WriteCloser, error) { return &deflated{to: w}, nil }

// deflated gathers a message.
type deflated struct {
	bytes.Buffer
	to io.Writer
}

// Close writes the message.
func (d *deflated) Close() error {
	w := deflaters.Get().(*flate.Writer)
	defer deflaters.Put(w)
	w.Reset(d.to)
	if _, err := w.Write(d.Bytes()); err != nil {
		return err
	}
	return w.Close()
}

// Decompress gives a reader of one compressed message, however long that is:
// who reads sets the bound.
func (Deflate) Decompress(r io.Reader) (io.Reader, error) { return flate.NewReader(r), nil }
