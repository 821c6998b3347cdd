package client

import (
	"context"
	"fmt"
	"slices"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Stopping is a device or a person that an owner wants to stop, and what is to
// become of those that go with it.
type Stopping struct {
	Device entry.DeviceID
	// Member is the person to stop, with all of that person's devices; Device and
	// Since are zero then.
	Member entry.ID
	// Since is the number of its first entry that is to count no more; 0 lets all
	// stand that is known here.
	Since uint64
	Why   string
	// Readmit has those let in again that the stop would put out.
	Readmit bool
	// Unseen has those stopped too that it let in, and of whom nothing is here yet.
	Unseen bool
}

// StopPreview is what a stop would do, by all that is known here.
type StopPreview struct {
	Device farm.Device
	Member farm.Member
	Ends   []farm.Device    // that belong to Member, and are stopped with the person
	Stays  []farm.Device    // that belong to Member, and stand above this one, which cannot stop them
	Last   entry.Mark       // the last of its entries that stands
	Void   []words.Line     // its entries that would count no more
	Out    []farm.Device    // other devices that it would put out, or take a right from, as they are now
	Unseen []entry.DeviceID // devices that it let in, and of which nothing is here yet: they would belong once it is
	// NoForce says that the device, or all that the person has, stands above this
	// one, which cannot stop it.
	NoForce bool
	Entries []entry.ID // that Stop wrote; none of a preview
	// NoOwner says that no owner's device would be left.
	NoOwner bool

	readmit []entry.Body // that bring back Out
}

// Asks says whether a person should look at it first: somebody else is put out,
// or nobody is left to undo it.
func (p *StopPreview) Asks() bool { return len(p.Out)+len(p.Unseen) > 0 || p.NoOwner }

// StopPreview tries a stop, and writes nothing. ErrNoDevice is of a device that
// the record does not name.
func (f *Farm) StopPreview(s Stopping) (StopPreview, error) {
	me, err := f.writes()
	if err != nil {
		return StopPreview{}, err
	}
	by := farm.Writer{Device: me.device, Wall: f.now().UnixMilli()}
	var p StopPreview
	f.read(func(now *farm.State) {
		if s.Member.IsZero() {
			p, err = preview(now, by, s)
		} else {
			p, err = previewMember(now, by, s)
		}
	})
	return p, err
}

// Stop stops a device, and writes with it what Stopping says of the others. It
// gives what StopPreview gave. Errors are ErrOwner, ErrNoDevice, and ErrElder for
// one that this device cannot stop.
func (f *Farm) Stop(ctx context.Context, s Stopping) (StopPreview, error) {
	var p StopPreview
	ids, err := f.RecordWith(ctx, entry.ID{}, func(Look, func(int) entry.ID) ([]entry.Body, error) {
		if err := f.owner(); err != nil {
			return nil, err
		}
		var err error
		if p, err = f.StopPreview(s); err != nil {
			return nil, err
		}
		if p.NoForce {
			return nil, fmt.Errorf("%w: %s", ErrElder, p.Device.Name+p.Member.Name)
		}
		return p.Bodies(s), nil
	})
	p.Entries = ids
	return p, err
}

// Bodies are the entries of a stop that was tried, for who writes them: what it
// was tried with, or the same with Readmit or Unseen.
func (p *StopPreview) Bodies(s Stopping) []entry.Body {
	bodies := []entry.Body{&entry.DeviceStopped{Last: p.Last, Why: s.Why}}
	if !s.Member.IsZero() {
		bodies[0] = &entry.MemberStopped{Member: s.Member, Why: s.Why}
	}
	if s.Readmit {
		bodies = append(bodies, p.readmit...)
	}
	if s.Unseen {
		for _, d := range p.Unseen {
			bodies = append(bodies, &entry.DeviceStopped{Last: entry.Mark{Log: d.Log()}, Why: s.Why})
		}
	}
	return bodies
}

// preview tries a stop on a copy of a state.
func preview(now *farm.State, by farm.Writer, s Stopping) (StopPreview, error) {
	d, ok := now.Device(s.Device)
	unseen := now.Lets(s.Device)
	if !ok {
		return StopPreview{}, fmt.Errorf("%w: %s", ErrNoDevice, s.Device)
	}
	p := StopPreview{Device: d, Last: entry.Mark{Log: s.Device.Log()}, Unseen: unseen}
	if s.Since != 1 {
		if p.Last, ok = now.Held(s.Device, max(s.Since, 1)-1); !ok {
			return p, fmt.Errorf("%s has no note %d here: it has %d", d.Name, s.Since, d.Last.Seq)
		}
	}
	t := now.Trial(by)
	t.Write(&entry.DeviceStopped{Last: p.Last, Why: s.Why})
	after, _ := t.State().Device(s.Device)
	p.NoForce = !after.Stopped && d.Joined
	p.Void = void(now, t.State(), p.Last, d.Last.Seq)
	p.finish(now, t, by.Device)
	return p, nil
}

// previewMember tries the stop of a person on a copy of a state. All stands that
// is known here of the person's devices.
func previewMember(now *farm.State, by farm.Writer, s Stopping) (p StopPreview, err error) {
	var ok bool
	if p.Member, ok = memberOf(now.View(), s.Member); !ok {
		return p, fmt.Errorf("the farm knows no person %s", s.Member)
	}
	t := now.Trial(by)
	t.Write(&entry.MemberStopped{Member: s.Member, Why: s.Why})
	for _, d := range now.View().Devices {
		if d.Person != s.Member || !stands(d) {
			continue
		}
		if is, _ := t.State().Device(d.ID); stands(is) {
			p.Stays = append(p.Stays, d)
			continue
		}
		p.Ends = append(p.Ends, d)
		p.Unseen = append(p.Unseen, now.Lets(d.ID)...)
	}
	after, _ := memberOf(t.State().View(), s.Member)
	p.NoForce = !after.Stopped && len(p.Ends) == 0
	p.finish(now, t, by.Device)
	return p, nil
}

// finish says what a stop that was tried leaves of the crew.
func (p *StopPreview) finish(now *farm.State, t *farm.Trial, own entry.DeviceID) {
	p.NoOwner = !slices.ContainsFunc(t.State().View().Devices, func(d farm.Device) bool { return stands(d) && d.Role == entry.Owner })
	p.bringBack(now, t, own)
}

// goes says whether a device is what the stop is about.
func (p *StopPreview) goes(d farm.Device) bool {
	return d.ID == p.Device.ID || !p.Member.ID.IsZero() && d.Person == p.Member.ID
}

// void are a device's entries after the last that stands which would count no
// more.
func void(now, then *farm.State, last entry.Mark, held uint64) (lines []words.Line) {
	for seq := last.Seq + 1; seq <= held; seq++ {
		id := entry.ID{Log: last.Log, Seq: seq}
		was, ok := now.Line(id)
		if is, _ := then.Line(id); ok && was.LeftOut == "" && is.LeftOut != "" {
			lines = append(lines, words.Of(now).Line(was))
		}
	}
	return lines
}

func stands(d farm.Device) bool {
	return d.Joined && !d.Stopped && (d.Role != entry.NoRole || d.Porter)
}

// bringBack finds who would be put out, and what lets them in again: in the
// order in which they came in, as to let one in again may bring back others.
func (p *StopPreview) bringBack(now *farm.State, t *farm.Trial, own entry.DeviceID) {
	for _, was := range now.View().Devices {
		if is, _ := t.State().Device(was.ID); !p.goes(was) && was.ID != own && lost(was, is) {
			p.Out = append(p.Out, was)
		}
	}
	in := now.LetIn()
	slices.SortFunc(p.Out, func(a, b farm.Device) int { return slices.Index(in, a.ID) - slices.Index(in, b.ID) })
	for _, was := range p.Out {
		if is, _ := t.State().Device(was.ID); lost(was, is) {
			p.bringBackOne(now, t, was)
		}
	}
}

// lost says whether a device lost its place, or a right.
func lost(was, is farm.Device) bool {
	return stands(was) && (!stands(is) || is.Role < was.Role || was.Porter && !is.Porter)
}

func (p *StopPreview) bringBackOne(now *farm.State, t *farm.Trial, was farm.Device) {
	first, _ := now.Held(was.ID, 1)
	back := &entry.Admitted{Device: was.ID, Hash: first.Hash, Porter: was.Porter}
	if !was.Porter {
		back.Person, back.Role = p.person(now, t, was.Person), was.Role
	}
	p.try(t, back)
}

// person gives a person back, where the stop takes that away too, and says under
// which number the record names him or her then.
func (p *StopPreview) person(now *farm.State, t *farm.Trial, id entry.ID) entry.ID {
	was, _ := memberOf(now.View(), id)
	is, there := memberOf(t.State().View(), id)
	switch {
	case !there || is.Name == "":
		i := slices.IndexFunc(t.State().View().Crew, func(m farm.Member) bool { return m.Name == was.Name && !m.Stopped && m.Role == was.Role })
		if i >= 0 {
			return t.State().View().Crew[i].ID // made anew for another device
		}
		return p.try(t, &entry.MemberAdded{Name: was.Name, Role: was.Role})
	case is.Stopped || is.Role < was.Role:
		p.try(t, &entry.MemberChanged{Member: id, Role: was.Role})
	}
	return id
}

// try adds an entry to those that bring back, and gives its number.
func (p *StopPreview) try(t *farm.Trial, b entry.Body) entry.ID {
	p.readmit = append(p.readmit, b)
	return t.Write(b)
}
