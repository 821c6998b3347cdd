package report

import (
	"errors"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Whole is all that stands in a view of the farm.
func (r Report) Whole() answer.View {
	v, rests := r.View(), sheet.RestsOf(r.View())
	a := answer.View{Version: answer.Version, Status: r.Status(), Boxes: []answer.Box{}, Ground: []answer.Ground{}, Hitches: []answer.Hitched{}, Lots: []string{}, Crew: r.Crew()}
	for _, b := range v.Boxes {
		a.Boxes = append(a.Boxes, r.Box(b, rests))
	}
	for _, g := range v.Grounds {
		a.Ground = append(a.Ground, r.Ground(g, rests.Ground(&g)))
	}
	for _, d := range v.Drills {
		h := answer.Hitched{Hitch: r.Hitch(d)}
		if !d.Hitch.Begun.IsZero() {
			h.Begun = d.Hitch.Begun.String()
		}
		a.Hitches = append(a.Hitches, h)
	}
	for _, l := range v.Lots {
		a.Lots = append(a.Lots, l.Name)
	}
	return a
}

// Held are the open holds of each drill, those of devices that wait to be let in
// too: they stop work.
func (r Report) Held() (all []answer.Held) {
	for _, d := range r.View().Drills {
		for _, open := range [][]farm.Hold{d.Hitch.Holds, d.Hitch.Strangers} {
			for _, h := range r.holds(open) {
				all = append(all, answer.Held{Drill: d.Name, Hold: h})
			}
		}
	}
	return all
}

// Question is what is asked before something unlikely is written.
func Question(q *client.Question) answer.Question {
	a := answer.Question{Kind: string(q.Kind), What: q.Why, Field: q.Field}
	if text := q.Instead(); text != "" {
		a.Instead = &text
	}
	for _, c := range q.Choices {
		a.Choices = append(a.Choices, answer.Choose{Word: c.Word, What: c.What, Answer: q.Answer(c)})
	}
	return a
}

// Synced is what an exchange did, but for what was refused; away is why it did
// not come to its end, where the other was lost.
func (r Report) Synced(s client.SyncResult, away error) answer.Synced {
	return answer.Synced{Sent: s.Sent, Received: s.Received, RoundTrips: s.RoundTrips, BytesOut: s.BytesOut, BytesIn: s.BytesIn, Pending: r.Farm.Pending(),
		Away: IsAway(away), BrokeOff: away != nil && !IsAway(away), Anew: s.Anew, Waits: s.Waits, Refused: []string{}, Admitted: r.LetIn(s.Admitted), Clocks: r.Clocks()}
}

// LetIn names devices that were let in.
func (r Report) LetIn(ids []entry.DeviceID) []string {
	names := []string{}
	for _, id := range ids {
		names = append(names, DeviceNamed(r.Farm.Devices(), id))
	}
	return names
}

// IsAway says whether a server was not reached at all.
func IsAway(err error) bool {
	return errors.Is(err, client.ErrAway) && !errors.Is(err, client.ErrBrokeOff)
}
