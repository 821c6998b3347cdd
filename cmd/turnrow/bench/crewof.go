package bench

import (
	"context"
	"errors"
	"fmt"
)

// crewOf measures on one crew that has written n lines apart: first what
// brings its devices level, then what each does from there on.
func (b *bench) crewOf(ctx context.Context, n int) (_ map[string]Figures, err error) {
	c, err := newCrew(ctx, b.folder("crew"))
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, c.close()) }()
	if err := c.part(n); err != nil {
		return nil, fmt.Errorf("setting up: %w", err)
	}
	out := map[string]Figures{}
	for _, m := range []struct {
		key   string
		needs bool // whether those after it need it done
		do    func(n int) (Figures, error)
	}{
		{keyMergeEight, true, c.mergeEight},
		{keyColdSync, false, c.coldSync},
		{keyCatchUp, false, c.catchUp},
		{keyRecordDurable, false, c.recordDurable},
		{keyRecordGrouped, false, c.recordGrouped},
		{keyOpen, false, func(int) (Figures, error) { return c.openAlone(b) }},
	} {
		if !m.needs && !b.wants(m.key) {
			continue
		}
		f, err := m.do(n)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.key, err)
		}
		if b.wants(m.key) {
			out[m.key] = f
		}
	}
	return out, nil
}
