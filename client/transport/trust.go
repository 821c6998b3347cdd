package transport

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"

	"google.golang.org/grpc/connectivity"
)

// tls is how to connect to a host. The certificates of replicas are mostly
// their own, and no authority's, so verify looks at them in the library's
// place.
//
// Keys are agreed on by elliptic curves alone. A hybrid with ML-KEM would also
// keep what is recorded today from who has a quantum computer some day; it
// costs 2.3 kB a connection, more than all else that a catch-up sends.
func (c *Conn) tls(host string) *tls.Config {
	return &tls.Config{
		ServerName: host, MinVersion: tls.VersionTLS13,
		CurvePreferences:   []tls.CurveID{tls.X25519, tls.CurveP256},
		InsecureSkipVerify: true, //nolint:gosec // verify checks the certificate
		VerifyConnection:   c.verify,
	}
}

func (c *Conn) verify(s tls.ConnectionState) error {
	var err error
	if c.opts.Trust != nil {
		err = c.opts.Trust(s.PeerCertificates[0])
	} else {
		err = vouched(s, c.opts.Roots)
	}
	if err != nil {
		c.refused.Store(&err)
		return err
	}
	c.refused.Store(nil)
	c.leaf.Store(s.PeerCertificates[0])
	return nil
}

// vouched checks that an authority vouches for the certificate, by name, as
// the library would.
func vouched(s tls.ConnectionState, roots *x509.CertPool) error {
	between := x509.NewCertPool()
	for _, c := range s.PeerCertificates[1:] {
		between.AddCert(c)
	}
	_, err := s.PeerCertificates[0].Verify(x509.VerifyOptions{DNSName: s.ServerName, Roots: roots, Intermediates: between})
	if err != nil {
		return fmt.Errorf("%w: %w", ErrUnvouched, err)
	}
	return nil
}

// Leaf connects, and gives the certificate that the other shows.
func (c *Conn) Leaf(ctx context.Context) (*x509.Certificate, error) {
	ctx, cancel := context.WithTimeout(ctx, dialTimeout)
	defer cancel()
	c.cc.Connect()
	for state := c.cc.GetState(); state != connectivity.Ready; state = c.cc.GetState() {
		if state == connectivity.TransientFailure || !c.cc.WaitForStateChange(ctx, state) {
			return nil, c.unreached()
		}
	}
	return c.leaf.Load(), nil
}

// unreached is why there is no connection.
func (c *Conn) unreached() error {
	if no := c.refused.Load(); no != nil {
		return *no
	}
	if why := c.dialled.Load(); why != nil {
		return fmt.Errorf("%s: %w: %w", c.opts.Address, ErrAway, *why)
	}
	return fmt.Errorf("%s: %w", c.opts.Address, ErrAway)
}
