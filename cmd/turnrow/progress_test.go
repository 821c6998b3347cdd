package main

import (
	"bytes"
	"errors"
	"testing"
	"testing/synctest"
	"time"
)

func TestProgressIsToldOfWhatTakesLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var errs bytes.Buffer
		g := &globals{errs: &errs}
		failure := errors.New("no")
		if err := g.slowly("quick", func(*progress) error { time.Sleep(900 * time.Millisecond); return failure }); err != failure || errs.Len() > 0 {
			t.Errorf("what takes no second said %q, and gave %v", errs.String(), err)
		}
		_ = g.slowly("checking", func(p *progress) error {
			time.Sleep(1500 * time.Millisecond) // a word after one second
			p.report(12_000, 48_000)
			time.Sleep(7 * time.Second) // another after five more
			return nil
		})
		if want := "checking: 1 s so far\nchecking: 12000 of 48000 (25 %)\n"; errs.String() != want {
			t.Errorf("said %q, want %q", errs.String(), want)
		}
	})
}
