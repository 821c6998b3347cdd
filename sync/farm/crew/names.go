package crew

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
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

// Called is what the crew calls a thing, as an argument.
func (s *Crew) Called(id entry.ID) message.Name { return message.Name{Of: id, Name: s.Name(id)} }

// ThingText is a thing with its kind, such as box oat.
func (s *Crew) ThingText(t *thing.Thing) message.Message { return t.Kind.Named(s.Called(t.ID)) }

// DeviceText is a log's device.
func DeviceText(d *order.Log) message.Message {
	return message.Of("device", message.Name{Name: DeviceName(d)})
}

// Writer is who wrote an entry, as an argument.
func (s *Crew) Writer(r *order.Rec) message.Arg {
	if r.By == nil {
		return message.Of("someone")
	}
	return s.Called(*r.By)
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
