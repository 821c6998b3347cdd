package client_test

import (
	"testing"

	"turnrow/sync/entry"
)

// told says whether a channel is closed by now.
func told(changed <-chan struct{}) bool {
	select {
	case <-changed:
		return true
	default:
		return false
	}
}

// A write, what comes from another and an exchange are changes, and so is one
// that fails; all that happen before the channel is asked for again are one.
// Nobody pays for a view by waiting.
func TestChangedTellsOfEachChange(t *testing.T) {
	h := newHouse(t)
	ada := found(t, h.FoundingAddress())
	ben := join(t, ada, "Ben", entry.Operator)
	sync(t, ada)
	views := ada.Views()
	for _, tt := range []struct {
		what string
		do   func()
	}{
		{"an entry written", func() { note(t, ada, "one") }},
		{"three at once", func() { note(t, ada, "two"); note(t, ada, "three", "four") }},
		{"an exchange that brought nothing here", func() { sync(t, ada) }},
		{"entries of another's", func() { note(t, ben, "five"); sync(t, ben); sync(t, ada) }},
		{"an exchange that failed", func() { h.Stop(); _, _ = ada.Sync(within(t)) }},
	} {
		changed, also := ada.Changed(), ada.Changed()
		if told(changed) {
			t.Errorf("told before %s", tt.what)
		}
		tt.do()
		if !told(changed) || !told(also) {
			t.Errorf("nobody was told of %s", tt.what)
		}
		if told(ada.Changed()) {
			t.Errorf("%s was told of twice", tt.what)
		}
	}
	if n := ada.Views() - views; n > 0 {
		t.Errorf("%d views were worked out", n)
	}
}
