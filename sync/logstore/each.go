package logstore

import (
	"container/heap"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// Each gives all durably stored entries beyond some heads (nil: all entries)
// to fn, each device's in its order, and those of several by their clocks. It holds only one entry of each device at a time.
// An error of fn ends it and is given back. fn may read from the log, and write
// to it.
func (l *Log) Each(from []chain.Head, fn func(entry.Entry) error) error {
	e, err := l.store.reading()
	if err != nil {
		return err
	}
	defer l.store.done()
	m := &merger{}
	defer m.close()
	for _, h := range l.durable.Load().heads {
		c := newCursor(from, h)
		if c.head.Seq >= h.Seq {
			continue
		}
		if c.rows, err = entryRows(e.db, h.Farm, h.Log, c.head.Seq+1, h.Seq); err != nil {
			return err
		}
		m.cursors = append(m.cursors, c)
		if err := c.next(); err != nil {
			return err
		}
	}
	return m.run(fn)
}

// cursor goes through one device's log.
type cursor struct {
	head chain.Head
	dec  *wire.Decoder
	rows *rows
	now  entry.Entry
}

func newCursor(from []chain.Head, end *chain.Head) *cursor {
	c := &cursor{head: chain.Start(end.Farm, end.Log.Device(), end.Key)}
	for i := range from {
		if from[i].Log == end.Log {
			c.head = from[i].Clone()
		}
	}
	c.dec = wire.NewDecoder(&c.head)
	return c
}

func (c *cursor) next() error {
	raw, err := c.rows.next()
	if err != nil {
		return err
	}
	c.now, err = c.dec.Next(raw)
	return err
}

// merger merges cursors: a heap with the earliest entry on top.
type merger struct{ cursors []*cursor }

func (m *merger) run(fn func(entry.Entry) error) error {
	heap.Init(m)
	for len(m.cursors) > 0 {
		c := m.cursors[0]
		if err := fn(c.now); err != nil {
			return err
		}
		if !c.rows.more() {
			c.rows.close()
			heap.Pop(m)
			continue
		}
		if err := c.next(); err != nil {
			return err
		}
		heap.Fix(m, 0)
	}
	return nil
}

func (m *merger) close() {
	for _, c := range m.cursors {
		c.rows.close()
	}
}

// Len is the number of cursors.
func (m *merger) Len() int { return len(m.cursors) }

// Less orders cursors by their entries.
func (m *merger) Less(i, j int) bool { return m.cursors[i].now.Earlier(&m.cursors[j].now) }

// Swap swaps two cursors.
func (m *merger) Swap(i, j int) { m.cursors[i], m.cursors[j] = m.cursors[j], m.cursors[i] }

// Push is not needed: cursors only run out.
func (m *merger) Push(any) { panic("logstore: merger grows") }

// Pop drops the last cursor.
func (m *merger) Pop() any {
	last := m.cursors[len(m.cursors)-1]
	m.cursors = m.cursors[:len(m.cursors)-1]
	return last
}
