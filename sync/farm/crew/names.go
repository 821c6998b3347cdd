package crew

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// PersonName is the name of who wrote an entry.
func (s *Crew) PersonName(r *order.Rec) string {
	if r.By == nil {
		return "someone"
	}
	return s.Name(*r.By)
}

// DeviceName is what the crew calls a log's device: the end of its ID where it has no name.
func DeviceName(d *order.Log) string {
	if d.Name != "" {
		return d.Name
	}
	id := d.ID.String()
	return id[len(id)-6:]
}

// Name is what the crew calls a thing: its ID where it has no name.
func (s *Crew) Name(id entry.ID) string {
	if t, ok := s.ByID[s.Canon(id)]; ok {
		if n := t.Text(thing.NameField(t.Kind)); n != "" {
			return n
		}
	}
	if id.IsZero() {
		return ""
	}
	return id.Short()
}

// System is the units that the farm shows.
func (s *Crew) System() units.System {
	if b, ok := s.Founding(); ok && b.Metric {
		return units.Metric
	}
	return units.US
}

// DeviceName is a device's name, whether it is here or not.
func (s *Crew) DeviceName(id entry.DeviceID) string {
	if d := s.Known(id.Log()); d != nil {
		return DeviceName(d)
	}
	return DeviceName(&order.Log{ID: id.Log()})
}
