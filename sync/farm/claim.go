package farm

import "turnrow/sync/entry"

// Admits says whether an entry that counts lets in the log that begins with the
// entry of a mark, whether that is here yet or not.
func (s *State) Admits(first entry.Mark) bool {
	for _, r := range s.crewRecs {
		b, ok := r.body.(*entry.Admitted)
		if ok && r.left == counts && !b.Refused && b.Device == first.Device && b.Hash == first.Hash {
			return true
		}
	}
	return false
}

// Recovers says whether a recovery carries the signature of a code on paper of
// this farm's, as far as is known here.
func (s *State) Recovers(d entry.DeviceID, b *entry.Recovered) bool {
	if s.stand == nil {
		return false
	}
	for _, c := range s.stand.codes {
		if entry.VerifyRecovery(c.key, s.id, d, b.Key, b.Next, b.Proof) == nil {
			return true
		}
	}
	return false
}
