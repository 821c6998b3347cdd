package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"turnrow/client"
	"turnrow/client/setfile"
	"turnrow/client/syncer"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/wire"
)

// plain is an error as people read it: what the machine says of files, numbers
// and addresses is said in words, with what to do next.
func plain(err error) string {
	text := err.Error()
	var file *fs.PathError
	if errors.As(err, &file) {
		trouble := fileTrouble(file)
		if errors.Is(err, logstore.ErrDisk) { // which says what to do
			trouble = file.Path
		}
		text = strings.Replace(text, file.Error(), trouble, 1)
	}
	text = strings.ReplaceAll(text, logstore.ErrDisk.Error(), "the disk takes no writes")
	text = strings.ReplaceAll(strings.ReplaceAll(text, wire.ErrDraft.Error()+": ", ""), "wire: ", "")
	for _, next := range []struct {
		of   error
		text string
	}{
		{client.ErrNoServer, "turnrow at ADDRESS gives it one; turnrow sync --with ADDRESS meets another device without"},
		{client.ErrHasFarm, "another farm wants a home of its own, with --home DIR"},
		{client.ErrBehind, "turnrow sync, or turnrow sync --with ADDRESS, brings them back; where nobody has them any more, this device needs a new invite (turnrow join INVITE)"},
		{client.ErrIsPaper, "turnrow recover takes it; keep it off every other device"},
		{client.ErrIsInvite, "turnrow join takes it"},
		{client.ErrIsFounding, "turnrow found --at takes it"},
		{setfile.ErrCrew, "turnrow invite, by an owner, adds people"},
		{client.ErrOwner, "turnrow crew shows who is one"},
		{syncer.ErrCopied, "an owner gives one (turnrow invite), and turnrow join INVITE takes it up here; all that is here stays. " + noOwnerLeft},
		{client.ErrNoIdentity, "turnrow join INVITE takes it up here. " + noOwnerLeft},
		{exchange.ErrStopped, stoppedThere},
		{exchange.ErrKeptOut, "an owner lets it in all the same with turnrow crew admit"},
	} {
		if errors.Is(err, next.of) {
			text += ": " + next.text
		}
	}
	return text
}

// noOwnerLeft is the way of an only owner, whom nobody can invite.
const noOwnerLeft = "Where no owner's device is left to give one: turnrow recover CODE, with the code on paper"

// stoppedThere is what to do where the other side says that this device was
// stopped.
const stoppedThere = "what it writes stays on it. Where that is a mistake, an owner lets it in again: turnrow crew admit, on an owner's device. " +
	"Where an owner's device in the wrong hands did it: turnrow recover CODE, with the code on paper"

// fileTrouble says what is wrong with a file or its folder.
func fileTrouble(e *fs.PathError) string {
	dir := filepath.Dir(e.Path)
	switch {
	case errors.Is(e.Err, fs.ErrNotExist) && !exists(dir):
		return dir + ": no such folder: make it, or name another"
	case errors.Is(e.Err, fs.ErrNotExist):
		return e.Path + ": no such file: name one that is there"
	case errors.Is(e.Err, fs.ErrExist):
		return e.Path + " is there already: name another"
	case errors.Is(e.Err, fs.ErrPermission):
		return e.Path + ": this user may not " + e.Op + " it: use another, or have its rights changed"
	case errors.Is(e.Err, syscall.EISDIR):
		return e.Path + " is a folder: name a file in it"
	case errors.Is(e.Err, syscall.ENOTDIR):
		return e.Path + ": a part of this path is a file, not a folder: name another"
	}
	return e.Error()
}

// plainFlag says what is wrong with a flag's value that is no number, or
// neither yes nor no.
func plainFlag(value string, err error) error {
	var num *strconv.NumError
	switch {
	case !errors.As(err, &num):
		return err
	case num.Func == "ParseBool":
		return fmt.Errorf("%q is neither true nor false: leave the value out for yes", value)
	case errors.Is(num.Err, strconv.ErrRange):
		return fmt.Errorf("%q is too great a number", value)
	}
	return fmt.Errorf("%q is not a whole number, such as 2", value)
}

// plainListen says why an address cannot be listened on.
func plainListen(address string, err error) error {
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return fmt.Errorf("%s: another program listens there already: give another port, such as --listen :7416", address)
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return fmt.Errorf("%s is no address of this device: --listen :7415 takes all that it has", address)
	case errors.Is(err, syscall.EACCES):
		return fmt.Errorf("%s: this user may not listen there: give a port above 1023, such as --listen :7415", address)
	}
	return fmt.Errorf("%q is no address to listen on: HOST:PORT is wanted, such as 127.0.0.1:7415", address)
}
