package simtest

import (
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/replica"
	"turnrow/sync/simtest/naive"
)

// record is a place's record as it is folded.
type record struct {
	of       *replica.Replica
	have     chain.Frontier
	entries  []entry.Entry
	branches []naive.Branch
}

// Record is the place's record as it is folded: its entries, each log's in its
// order, and the branches of forked logs among them.
func (p *Place) Record() (es []entry.Entry, branches []naive.Branch) {
	have := p.rep.Have()
	if p.read == nil || p.read.of != p.rep || !slices.Equal(p.read.have, have) {
		now := &record{of: p.rep, have: have}
		err := p.rep.Each(func(name entry.LogID, of entry.ID) {
			now.branches = append(now.branches, naive.Branch{Name: name, Of: of})
		}, func(e entry.Entry) { now.entries = append(now.entries, e) })
		if err != nil {
			return nil, nil
		}
		p.read = now
	}
	return slices.Clip(p.read.entries), slices.Clip(p.read.branches)
}
