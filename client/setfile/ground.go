package setfile

import (
	"math/big"
	"slices"

	"go.yaml.in/yaml/v4"

	"turnrow/client/nearest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// ground is a piece of ground of the file.
type ground struct {
	at        node
	name, was string
	set       entry.GroundSet
}

func (g *ground) called() string { return g.name }
func (g *ground) place() node    { return g.at }

// keys are the keys of a piece of ground.
func (g *ground) keys() []key {
	s := &g.set
	return []key{
		{"name", text(&g.name)},
		{"was", text(&g.was)},
		{"area", quantity(&s.Area, units.ParseArea)},
		{"slope", quantity(&s.Slope, units.ParseShare)},
		{"state", g.readState},
		{"notes", wording(&s.Notes)},
		{"spray", wording(&s.Spray)},
		{"boundary", g.readBoundary},
	}
}

func readGround(n node) (*ground, error) {
	g := &ground{at: n}
	err := n.keys("a piece of ground", g.keys()...)
	if err == nil && g.name == "" {
		err = n.refuse("a piece of ground needs a name, such as {name: bench}")
	}
	return g, err
}

func (g *ground) readState(n node) error {
	states := []string{entry.BareGround, entry.ClearedGround, entry.WornSod}
	w, err := n.word()
	if err == nil && !slices.Contains(states, w) {
		err = n.refuse("unknown state %q; %s", w, nearest.Hint(w, "states", states))
	}
	g.set.State = entry.Some(w)
	return err
}

// readBoundary reads rings of corners, or one ring alone, as GeoJSON (RFC
// 7946) writes a polygon's coordinates: longitude before latitude.
func (g *ground) readBoundary(n node) error {
	if n.Kind == yaml.SequenceNode && len(n.Content) > 0 && !isPair(n.child(0)) {
		return n.items("a boundary", g.readRing)
	}
	return g.readRing(n)
}

func isPair(n node) bool {
	return n.Kind == yaml.SequenceNode && len(n.Content) > 0 && n.child(0).Kind == yaml.ScalarNode
}

func (g *ground) readRing(n node) error {
	var ring entry.Ring
	err := n.items("a ring of corners", func(n node) error {
		if !isPair(n) || len(n.Content) != 2 {
			return n.refuse("a corner is written as [longitude, latitude] in degrees")
		}
		for i := range n.Content {
			v, err := n.child(i).degrees()
			if err != nil {
				return err
			}
			ring = append(ring, v)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if last := len(ring) - 2; last > 0 && slices.Equal(ring[:2], ring[last:]) {
		ring = ring[:last] // GeoJSON says the first corner again at the end
	}
	if len(ring) < 6 {
		return n.refuse("a ring has %d corners: at least 3 are wanted", len(ring)/2)
	}
	g.set.Boundary = append(g.set.Boundary, ring)
	return nil
}

// degrees reads decimal degrees into ten-millionths.
func (n node) degrees() (int64, error) {
	const longest, tenMillion, most = 24, 10_000_000, 180
	w, err := n.word()
	if err != nil {
		return 0, err
	}
	v, ok := new(big.Rat).SetString(w)
	if !ok || len(w) > longest || v.Cmp(big.NewRat(most, 1)) > 0 || v.Cmp(big.NewRat(-most, 1)) < 0 {
		return 0, n.refuse("%q is no angle: decimal degrees from -180 to 180 are wanted, such as -80.125", w)
	}
	v.Mul(v, big.NewRat(tenMillion, 1))
	f, _ := new(big.Float).SetRat(v).Float64()
	return rounded(f), nil
}

func (w *writer) setGround(g *ground) error {
	id, err := w.match(g.at, "ground", g.name, g.was, groundThings(w.view))
	if err != nil {
		return err
	}
	now, _ := w.view.GroundOf(id)
	s := g.set
	s.Ground, s.Name = id, entry.Some(g.name)
	isNew := id.IsZero()
	changes := some(changed(isNew, &s.Name, now.Name), changed(isNew, &s.Area, now.Area),
		changed(isNew || !now.SlopeSet, &s.Slope, now.Slope), changed(isNew, &s.State, now.State),
		changed(isNew, &s.Notes, now.Notes), changed(isNew, &s.Spray, now.Spray))
	if len(s.Boundary) > 0 && ringsText(s.Boundary) == now.Boundary {
		s.Boundary = nil
	}
	w.grounds[g.name], err = w.put(g.at, id, changes || len(s.Boundary) > 0, &s)
	return err
}

func groundThings(v *farm.View) []thing {
	return things(v.Grounds, func(g *farm.Ground) thing { return thing{g.ID, g.Name} })
}
