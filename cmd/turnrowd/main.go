// Command turnrowd is a farm's server: one more replica of the record, always
// at one address, that devices exchange with when they have a signal. It can
// hold entries back, but it cannot forge, change or reorder one.
//
// It ends with 0, with 1 where what was asked for failed, and with 2 where it
// was called wrongly; either way one line on stderr says what is wrong.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// The exit codes.
const (
	exitFailed = 1
	exitWrong  = 2
)

// run carries out one call and gives its exit code.
func run(ctx context.Context, args []string, out, errs io.Writer) int {
	root := newRoot(&output{out: out, errs: errs})
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return 0
	}
	fmt.Fprintln(errs, "turnrowd:", strings.Join(strings.Fields(err.Error()), " "))
	var fail failed
	if errors.As(err, &fail) {
		return exitFailed
	}
	return exitWrong
}

// failed is an error of a command that was called rightly.
type failed struct{ error }

func (f failed) Unwrap() error { return f.error }

// output is where a command prints, and how.
type output struct {
	out, errs io.Writer
	json      bool
}

// show prints an answer as one line of JSON, or as lines for people.
func (o *output) show(value any, lines ...string) error {
	if o.json {
		enc := json.NewEncoder(o.out)
		enc.SetEscapeHTML(false)
		return enc.Encode(value)
	}
	_, err := fmt.Fprintln(o.out, strings.Join(lines, "\n"))
	return err
}

func newRoot(o *output) *cobra.Command {
	root := &cobra.Command{
		Use:   "turnrowd",
		Short: "A server for the records of seeding crews",
		Long: `turnrowd keeps the records of farms, apart from each other, and exchanges them
with the farms' devices over TLS. It makes its key, its certificate and its
store on first start. Whoever is given a founding address can start one farm
here; the farm's owner invites the others.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetOut(o.out)
	root.SetErr(o.errs)
	root.PersistentFlags().BoolVar(&o.json, "json", false, "print JSON")
	root.AddCommand(newServeCommand(o), newInviteFarmCommand(o), newFarmsCommand(o), newDigestCommand(o))
	for _, c := range root.Commands() {
		do := c.RunE
		c.RunE = func(c *cobra.Command, args []string) error {
			if err := do(c, args); err != nil {
				return failed{err}
			}
			return nil
		}
	}
	return root
}

// dataFlag is the folder that a server keeps everything in.
func dataFlag(c *cobra.Command) *string {
	data := c.Flags().String("data", "", "folder of the server's store, key and certificate")
	_ = c.MarkFlagRequired("data") // fails only for a flag that is not there
	_ = c.MarkFlagDirname("data")
	return data
}
