package logstore

import (
	"bytes"
	"runtime"
	"sync"

	"turnrow/sync/entry"
)

// signed is a signature to check. Checking one takes longer than all else that
// Verify does with an entry, so they are gathered and checked side by side.
type signed struct {
	at  []byte // the key of the store that holds it
	key entry.Key
	end end
	err error
}

const signaturesAtOnce = 1024

// sign has a signature checked, now or later.
func (v *verifier) sign(at []byte, key entry.Key, e end) {
	v.sigs = append(v.sigs, signed{at: bytes.Clone(at), key: key, end: e})
	if len(v.sigs) >= signaturesAtOnce {
		v.checkSignatures()
	}
}

// checkSignatures checks those that were gathered.
func (v *verifier) checkSignatures() {
	workers := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(v.sigs); i += workers {
				s := &v.sigs[i]
				s.err = entry.Verify(s.key, s.end.hash, s.end.sig)
			}
		})
	}
	wg.Wait()
	for i := range v.sigs {
		v.failed(v.sigs[i].at, v.sigs[i].err)
	}
	v.sigs = v.sigs[:0]
}
