package exchange

import (
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Generation names one store of one replica, for as long as that store lives.
// A peer that shows another one has started anew, whatever its address.
type Generation [16]byte

// IsZero says whether no generation is known.
func (g Generation) IsZero() bool { return g == Generation{} }

// Request asks for an exchange on one farm.
type Request struct {
	Farm       entry.FarmID
	Have       chain.Frontier      // what the asker holds
	Brief      chain.BriefFrontier // the same in Have's place, as it came under short names
	Runs       []entry.Run         // what it thinks the other lacks
	Generation Generation          // the other's, as the asker remembers it; zero at first
	MaxBytes   int                 // of runs wanted back; 0 leaves it to the other
	ReadsBrief bool                // whether the other reads short names
}

// Holds is what the asker holds, by a frontier that has the logs known here: of
// those that it named in full, and of those whose short names known has. The others
// are unknown. Errors are ErrMalformed, over chain.ErrShort.
func (r *Request) Holds(known chain.Frontier) (have chain.Frontier, unknown chain.BriefFrontier, err error) {
	if r.Brief == nil {
		return r.Have, nil, nil
	}
	have, unknown, err = r.Brief.Whole(known)
	if err != nil {
		err = fmt.Errorf("%w: %w", ErrMalformed, err)
	}
	return have, unknown, err
}

// Response answers a Request.
type Response struct {
	Generation Generation
	Stored     chain.Frontier      // on disk there, before the answer was sent
	Runs       []entry.Run         // what the asker lacks, up to a limit
	More       bool                // whether there is more to ask for
	Refusals   []Refusal           // of the request's runs
	Have       chain.Frontier      // what the asker holds of logs that the answerer knows, or has named in full
	Unknown    chain.BriefFrontier // what the asker holds of logs whose short names the answerer does not know
	ReadsBrief bool                // whether the answerer reads short names
	Waits      bool                // the asker waits to be let in: its own log is taken, and it is given nothing
	// Porter is the first entry of the answerer's own device, where it is a
	// server that offers to be the farm's porter and no owner has said yet
	// whether it is.
	Porter entry.Mark
}

// Admission answers a device that asks to join, or a farm that was founded; and
// it is what a watch tells, of which Waits and Porter are no part.
type Admission struct {
	Generation Generation
	Stored     chain.Frontier // to a device that waits, of its own log only
	Waits      bool           // its log is stored, and counts once it is let in
	Porter     entry.Mark     // as in Response
}

// Refusal says why a run was not taken.
type Refusal struct {
	Device entry.DeviceID
	First  uint64 // number of the run's first entry
	Err    error
}

// Error is the refusal in words.
func (r *Refusal) Error() string { return r.Err.Error() }

// Unwrap is why.
func (r *Refusal) Unwrap() error { return r.Err }

// Taken is what became of runs that were offered to a log.
type Taken struct {
	Entries []entry.Entry // those that were new, each device's in order
	Refused []Refusal
	New     chain.Frontier // what is now stored
}
