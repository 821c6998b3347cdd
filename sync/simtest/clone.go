package simtest

import (
	"maps"
	"slices"
)

// Clone is a world that goes on by itself from here, each place started anew on
// a copy of its disk. Nothing looks at it until Look is set.
func (w *World) Clone() (*World, error) {
	c := *w
	c.Look, c.places = nil, nil
	c.labels, c.called, c.told = maps.Clone(w.labels), maps.Clone(w.called), slices.Clip(w.told)
	c.mail, c.files, c.copies, c.forgers = maps.Clone(w.mail), maps.Clone(w.files), maps.Clone(w.copies), maps.Clone(w.forgers)
	c.asked, c.until, c.let, c.lets = maps.Clone(w.asked), maps.Clone(w.until), maps.Clone(w.let), maps.Clone(w.lets)
	for d, marks := range c.lets {
		c.lets[d] = slices.Clip(marks)
	}
	for _, p := range w.places {
		q := *p
		var err error
		if q.disk, err = p.disk.Copy(); err != nil {
			return nil, err
		}
		q.peers, q.met = maps.Clone(p.peers), maps.Clone(p.met)
		c.places = append(c.places, &q)
		if err := c.start(&q); err != nil {
			return nil, err
		}
	}
	return &c, nil
}
