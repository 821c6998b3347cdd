package report

import (
	"turnrow/client/answer"
)

// Status is how this device stands.
func (r Report) Status() answer.Status {
	v, f := r.View(), r.Farm
	a := answer.Status{Farm: v.Farm.String(), FarmName: v.Name, Device: f.Device().String(), Person: v.NameOf(f.Person()), Server: f.Server(),
		Entries: v.Entries, Pending: f.Pending(), Waiting: v.Waiting, Doubts: v.Open, Met: r.Met(), Clocks: r.Clocks(), Drills: []answer.DrillStatus{}}
	own := f.Own()
	a.Waits, a.Stopped, a.Copied, a.Asking = Waits(own), own.Stopped, f.Copied(), len(f.Asking())
	for _, m := range v.Crew {
		if m.ID == f.Person() {
			a.Role = m.Role.String()
		}
	}
	for _, d := range v.Drills {
		s := answer.DrillStatus{Drill: d.Name, Ready: d.Hitch.Ready}
		if d.Reading != nil {
			s.Reading = answer.Some(d.Reading.Reading.Float())
		}
		a.Drills = append(a.Drills, s)
	}
	return a
}
