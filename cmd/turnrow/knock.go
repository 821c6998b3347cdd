package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
)

// errNoDoor says that nobody answers at a home's door.
var errNoDoor = errors.New("no door")

// doorExit is how a call ended that another program carried out, and which has
// printed whatever there was to say.
type doorExit int

func (d doorExit) Error() string { return fmt.Sprintf("exit code %d", int(d)) }

// knock hands this call in at a home's door, prints what comes back, and gives
// the exit code. It is errNoDoor where nobody answers.
func (g *globals) knock(ctx context.Context, home string) (int, error) {
	path, release, err := doorPath(home)
	if err != nil {
		return 0, errNoDoor
	}
	defer release()
	conn, err := new(net.Dialer).DialContext(ctx, "unix", path)
	if err != nil {
		return 0, errNoDoor
	}
	defer conn.Close()
	defer context.AfterFunc(ctx, func() { conn.Close() })()
	k, err := g.asKnock()
	if err != nil {
		return 0, err
	}
	if err := json.NewEncoder(conn).Encode(k); err != nil {
		return 0, errNoDoor // it closed between two calls
	}
	return g.hear(json.NewDecoder(conn))
}

func (g *globals) asKnock() (k knock, err error) {
	k = knock{Args: g.args, Terminal: g.isTerminal(), Answers: g.answers}
	if k.Dir, err = os.Getwd(); err != nil {
		return k, err
	}
	if readsInput(g.args) {
		k.In, err = io.ReadAll(os.Stdin)
	}
	return k, err
}

// readsInput says whether a call reads standard input: a - stands for it, but
// after --out, where it stands for standard output.
func readsInput(args []string) bool {
	for i, a := range args {
		if a == "-" && (i == 0 || args[i-1] != "--out") {
			return true
		}
	}
	return false
}

func (g *globals) hear(in *json.Decoder) (int, error) {
	for {
		var a piece
		if err := in.Decode(&a); err != nil {
			return 0, errors.New("the turnrow that holds this home ended before it had answered; what it wrote down is kept: look at turnrow log")
		}
		if a.Asks != nil {
			return 0, asking{a.Asks}
		}
		if a.Exit != nil {
			return *a.Exit, nil
		}
		if _, err := g.out.Write(a.Out); err != nil {
			return 0, err
		}
		if _, err := g.errs.Write(a.Errs); err != nil {
			return 0, err
		}
	}
}
