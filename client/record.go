package client

import (
	"context"
	"errors"
	"fmt"

	"turnrow/client/safetext"
	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/logstore"
)

// Record writes entries: all or none, durable on this device when it returns,
// without any network. The person is who did it; zero is the device's own. It
// gives the entries' IDs. A body out of range gives wire.ErrDraft, a disk that
// takes no more logstore.ErrDisk. Calls that come together share one sync.
func (f *Farm) Record(ctx context.Context, person entry.ID, bodies ...entry.Body) ([]entry.ID, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f.writing.RLock()
	defer f.writing.RUnlock()
	return f.write(person, bodies)
}

// Look gives the farm as it stands at one moment. A view is worked out when it
// is called first, and only then.
type Look func() *farm.View

// Build makes bodies from the farm as it stands, if they depend on it. They may
// refer to each other: next(i) is the ID that the i-th body will have, from 0.
type Build func(look Look, next func(i int) entry.ID) ([]entry.Body, error)

// RecordWith writes entries that build makes. Nothing is written where build
// fails, or gives no bodies.
func (f *Farm) RecordWith(ctx context.Context, person entry.ID, build Build) ([]entry.ID, error) {
	return f.Ask(ctx, Writing{Person: person, Build: build, Anyway: true})
}

// write writes entries of this device's.
func (f *Farm) write(person entry.ID, bodies []entry.Body) ([]entry.ID, error) {
	return f.writeAt(f.now().UnixMilli(), person, bodies)
}

// writeAt writes them with a time, in ms since 1970.
func (f *Farm) writeAt(wall int64, person entry.ID, bodies []entry.Body) ([]entry.ID, error) {
	me, err := f.writes()
	if err != nil || len(bodies) == 0 {
		return nil, err
	}
	if err := f.original(); err != nil {
		return nil, err
	}
	if err := f.behind(me); err != nil {
		return nil, err
	}
	for _, b := range bodies {
		if err := safetext.CheckBody(b); err != nil {
			return nil, fmt.Errorf("%s: %w", b.Kind(), err)
		}
		if err := f.checkDays(b); err != nil {
			return nil, err
		}
	}
	es, err := f.replica.Record(me.key, me.device, wall, drafts(person, bodies)...)
	if errors.Is(err, logstore.ErrForked) {
		err = errors.Join(syncer.ErrCopied, f.copied())
	}
	if err == nil {
		f.urgent.wrote(bodies)
	}
	ids := make([]entry.ID, len(es))
	for i := range es {
		ids[i] = es[i].ID
	}
	return ids, err
}

func drafts(person entry.ID, bodies []entry.Body) []entry.Draft {
	ds := make([]entry.Draft, len(bodies))
	for i, b := range bodies {
		ds[i] = entry.Draft{Person: person, Body: b}
	}
	return ds
}

// View is the farm as it stands on this device, at one moment.
func (f *Farm) View() (v *farm.View) {
	if !f.looked.CompareAndSwap(false, true) {
		return f.replica.View()
	}
	hurried(f.replica.Frontier(), func() { v = f.replica.View() }) // the first takes nearly as long as opening
	return v
}

// Views is how many views were worked out so far. Each takes time that grows
// with the record; what only writes, or waits for a change, needs none.
func (f *Farm) Views() int { return int(f.views.Load()) }
