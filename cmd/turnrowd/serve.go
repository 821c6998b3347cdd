package main

import (
	"errors"
	"fmt"
	"log/slog"

	"github.com/spf13/cobra"

	"turnrow/server"
	"turnrow/server/auth"
)

// serving is what a server prints once it listens.
type serving struct {
	Address string `json:"address"`
	Pin     string `json:"pin"`
	Found   string `json:"found"`
}

func newServeCommand(o *output) *cobra.Command {
	c := &cobra.Command{
		Use: "serve --data DIR", Short: "Serve farms until told to stop", Args: cobra.NoArgs,
		Long: `Serve farms until told to stop (SIGTERM or Ctrl-C). On first start it makes key,
certificate and store. It prints its address, its certificate's pin, and a
one-time founding address: give that to the owner of a farm, for
"turnrow found --at". What it does goes to stderr.

The server offers to be each farm's porter; the farm's owner says yes or no. A
porter lets in whoever joins on an invite, in time and the first on it, so that
nobody waits until an owner's device is in reach. It lets in no owner, and it
can do nothing else in the record. With --no-porter the server does not offer.

Devices know the server by its pin, which comes with every address and invite.
With --cert and --key, or --acme, they know it by its name instead, as browsers
do: addresses then carry no pin. Files that are renewed are read anew. For
--acme, the authority calls back on port 443 of the host, which must lead to
where the server listens.`,
		Example: `  turnrowd serve --data /var/lib/turnrow
  turnrowd serve --data /var/lib/turnrow --cert farm.pem --key farm.key --public farm.example
  turnrowd serve --data /var/lib/turnrow --listen :443 --acme farm.example --acme-accept-terms
  turnrowd serve --data ./data --listen 127.0.0.1:7415 --json`,
	}
	data := dataFlag(c)
	listen := c.Flags().String("listen", server.DefaultListen, "HOST:PORT to listen on; port 0 is any free one")
	public := c.Flags().String("public", "", "HOST or HOST:PORT by which devices find the server (default: worked out from --listen)")
	certFile := c.Flags().String("cert", "", "certificate that an authority vouches for, with those in between: a PEM file")
	keyFile := c.Flags().String("key", "", "the certificate's key: a PEM file that only you can read")
	acme := c.Flags().String("acme", "", "host for which to have a certificate made and renewed (ACME, RFC 8555)")
	accepted := c.Flags().Bool("acme-accept-terms", false, "you accept the terms of the authority that --acme asks")
	directory := c.Flags().String("acme-directory", "", "address of the authority that --acme asks (default: Let's Encrypt)")
	c.MarkFlagsRequiredTogether("cert", "key")
	c.MarkFlagsMutuallyExclusive("cert", "acme")
	noPorter := c.Flags().Bool("no-porter", false, "refuse to be the porter of farms: whoever joins waits for an owner's device")
	quiet := c.Flags().Bool("quiet", false, "write warnings only to stderr")
	c.RunE = func(c *cobra.Command, _ []string) error {
		s, err := server.New(server.Config{Data: *data, Listen: *listen, Public: *public, Logger: o.logger(*quiet),
			Cert: *certFile, Key: *keyFile, ACME: *acme, ACMEDirectory: *directory, ACMEAccepted: *accepted, NoPorter: *noPorter})
		if errors.Is(err, auth.ErrTerms) {
			err = fmt.Errorf("%w: say so with --acme-accept-terms", err)
		}
		if err != nil {
			return err
		}
		if err := o.showServing(s); err != nil {
			s.Close()
			return err
		}
		return s.Run(c.Context())
	}
	return c
}

func (o *output) logger(quiet bool) *slog.Logger {
	level := slog.LevelInfo
	if quiet {
		level = slog.LevelWarn
	}
	return slog.New(slog.NewTextHandler(o.errs, &slog.HandlerOptions{Level: level}))
}

func (o *output) showServing(s *server.Server) error {
	found, err := s.FoundingAddress()
	if err != nil {
		return err
	}
	pin := s.Pin()
	if pin == "" {
		pin = "none: an authority vouches for the certificate"
	}
	return o.show(serving{s.Addr(), s.Pin(), found},
		"serving at "+s.Addr(), "pin        "+pin, "found a farm, once, with:", "  turnrow found --farm NAME --owner PERSON --at '"+found+"'")
}

func newInviteFarmCommand(o *output) *cobra.Command {
	c := &cobra.Command{
		Use: "invite-farm --data DIR", Short: "Print another one-time founding address", Args: cobra.NoArgs,
		Long:    "Print another one-time founding address, whether the server runs just now or not.",
		Example: "  turnrowd invite-farm --data /var/lib/turnrow",
	}
	data := dataFlag(c)
	c.RunE = func(*cobra.Command, []string) error {
		found, err := server.InviteFarm(*data)
		if err != nil {
			return err
		}
		return o.show(struct {
			Found string `json:"found"`
		}{found}, found)
	}
	return c
}
