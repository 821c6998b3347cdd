package farm

import "turnrow/sync/entry"

// Recovers says whether a recovery carries the signature of a code on paper of
// this farm's, as far as is known here.
func (s *crewSt) Recovers(d entry.DeviceID, b *entry.Recovered) bool {
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
