package report

import (
	"turnrow/client/answer"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Spot is a spot of ground as it stands.
func (r Report) Spot(p farm.Spot) answer.Spot {
	b := &p.Said
	a := answer.Spot{Entry: p.ID.String(), What: b.What.String(), Row: b.Row, Text: b.Text}
	if !b.Ground.IsZero() {
		a.Ground = r.View().NameOf(b.Ground)
	}
	if b.Latitude.Set {
		lat, lon := float64(b.Latitude.Val)/1e7, float64(b.Longitude.Val)/1e7
		a.Latitude, a.Longitude = &lat, &lon
	}
	a.WithinM, a.LengthM, a.WidthM = metres(b.Accuracy), metres(b.Length), metres(b.Width)
	return a
}

// metres is a length as an answer has it: nothing where nobody gave it.
func metres(l units.Length) *answer.Number {
	if l == 0 {
		return nil
	}
	return answer.Some(float64(l) / 1e6)
}

// Errand is seed that somebody asked for, and how far it has come.
func (r Report) Errand(e farm.Errand) answer.Errand {
	b := &e.Said
	a := answer.Errand{Entry: e.ID.String(), State: e.State.String(), Lot: r.View().NameOf(b.Lot), Gate: b.Gate, Note: b.Note}
	if b.Bags > 0 {
		a.Bags = answer.Some(float64(b.Bags) / 1000)
	}
	if b.Mass > 0 {
		a.Lb = answer.Some(b.Mass.Pounds())
	}
	if box, ok := r.View().BoxOf(b.Box); ok {
		a.Box = box.Name
		if b.Side > 0 && b.Side <= int64(len(box.Sides)) {
			a.Side = box.Sides[b.Side-1]
		}
	}
	return a
}
