package audit

import (
	"turnrow/client/words"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// fold works the farm's state out of its devices' logs, all of which chain and
// are signed at their ends. It gives an error where an entry cannot be read.
func fold(id entry.FarmID, logs []*tree) (*farm.State, error) {
	state, forks := farm.New(id), &wire.Forks{}
	for _, t := range logs {
		if !t.forked() {
			continue
		}
		var runs []entry.Run
		for _, end := range t.ends() {
			runs = append(runs, end.run())
		}
		if err := forks.Add(t.head(), runs); err != nil {
			return nil, err
		}
	}
	forks.Each(func(s *wire.Stretch, es []entry.Entry) {
		if !s.Of.Log.IsZero() {
			state.Branch(s.Name, s.Of)
		}
		state.Apply(es...)
	})
	for _, t := range logs {
		if t.forked() {
			continue
		}
		if err := t.apply(state, forks); err != nil {
			return nil, err
		}
	}
	return state, nil
}

// head is the log's before its first entry.
func (t *tree) head() chain.Head { return chain.Start(t.farm, t.root.device, t.key) }

func (t *tree) apply(state *farm.State, forks *wire.Forks) error {
	head := t.head()
	for _, s := range t.stretches() {
		for _, n := range s.entries {
			e, err := wire.Decode(&head, n.raw)
			if err != nil {
				return err
			}
			state.Apply(forks.Read(e))
		}
	}
	return nil
}

// read is an entry in words, as the state has it.
func read(state *farm.State, id entry.ID) (reading, bool) {
	l, ok := state.Line(id)
	if !ok {
		return reading{}, false
	}
	return reading{Wall: wallText(l.Wall), Person: l.By, Kind: l.Kind.String(), What: words.Of(state).Text(l.What)}, true
}
