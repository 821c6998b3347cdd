package chain

import (
	"crypto/sha256"

	"turnrow/sync/entry"
)

// Tags keep names of branches apart from all other hashes.
const (
	tagBranch = "turnrow branch 1\x00"
	tagFull   = "turnrow full 1\x00"
)

// Branch names one branch of a forked log, from the chain's hash at the first
// entry that the other branch does not have. It is a UUID of version 8 (RFC 9562).
func Branch(first entry.Hash) entry.LogID {
	h := sha256.Sum256(append([]byte(tagBranch), first[:]...))
	id := entry.LogID(h[:16])
	id[6] = id[6]&0x0f | 0x80
	id[8] = id[8]&0x3f | 0x80
	return id
}

// Full is a name, in the form of a branch's, under which the holder of a
// Frontier says that it keeps no more branches of a device's log.
func Full(d entry.DeviceID) entry.LogID {
	return Branch(sha256.Sum256(append([]byte(tagFull), d[:]...)))
}
