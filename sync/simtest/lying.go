package simtest

import "fmt"

// liarJoins lets in the device that is going to lie, in whatever role. Its owner
// has the texts of invites that were used, or have run out.
func (m *maker) liarJoins() error {
	err := m.lines(fmt.Sprintf("house: Mal = member role %s", one(m, roleNames)), "house: formal = invite person Mal",
		m.liar+" joins by formal", m.liar+" meets house", fmt.Sprintf("house: old = invite person Ben ends %d", m.w.Now-hour))
	m.things["person"], m.things["place"] = append(m.things["person"], "Mal"), append(m.things["place"], m.liar)
	m.things["invite"] = []string{"formal", "old", "forcab"}
	return err
}

// lie is one way to lie.
type lie struct {
	weight int
	tell   func(*maker) error
}

var lies = []lie{
	{40, (*maker).forging}, {12, (*maker).answering}, {5, (*maker).faking}, {4, (*maker).lending}, {3, (*maker).crowding}, {2, (*maker).hiding},
	{2, (*maker).undoing},
}

// lying has the device that lies do so, to some other place.
func (m *maker) lying() error {
	sum := 0
	for _, l := range lies {
		sum += l.weight
	}
	n := m.IntN(sum)
	for _, l := range lies {
		if n -= l.weight; n < 0 {
			return l.tell(m)
		}
	}
	return nil
}

// lied is somebody else than the liar.
func (m *maker) lied() string {
	for {
		if q := one(m, m.w.places); q.Name != m.liar {
			return q.Name
		}
	}
}

// forging writes what is not so: see World.lie.
func (m *maker) forging() error {
	if words := m.lyingWords(); words != "" {
		return m.dof("%s forges %s %d %s", m.liar, m.lied(), m.IntN(1<<30), words)
	}
	return nil
}

// lyingWords are about who belongs, as often as not.
func (m *maker) lyingWords() string {
	p, err := m.w.Place(m.liar)
	if err != nil {
		return ""
	}
	switch m.IntN(9) {
	case 0:
		return "member role " + one(m, roleNames)
	case 1:
		return fmt.Sprintf("change member %s role %s", one(m, m.things["person"]), one(m, roleNames))
	case 2:
		return fmt.Sprintf("stop member %s why gone", one(m, m.things["person"]))
	case 3, 4:
		return fmt.Sprintf("cutoff device %s why lost", one(m, m.things["place"]))
	case 5:
		return fmt.Sprintf("admit device %s person %s role %s", one(m, m.things["place"]), one(m, m.things["person"]), one(m, roleNames))
	case 6:
		return fmt.Sprintf("takein device %s why found", one(m, m.things["place"]))
	}
	return pickWords(m).words(m, p)
}

// undoing stops a device and takes in again what that took, or what there is
// not, once a day: only an owner's device can.
func (m *maker) undoing() error {
	if m.undid {
		return nil
	}
	m.undid = true
	return m.dof("%s undoes %s %d %s", m.liar, m.lied(), m.IntN(1<<30), one(m, m.things["place"]))
}

func (m *maker) answering() error {
	how := one(m, []string{lieStored, lieStored, lieGeneration, lieReplay, lieWithhold})
	return m.dof("%s answers %s %d %s", m.liar, m.lied(), m.IntN(1<<30), how)
}

func (m *maker) faking() error {
	if words := m.lyingWords(); words != "" {
		return m.dof("%s fakes %s %d %s", m.liar, m.lied(), m.IntN(1<<30), words)
	}
	return nil
}

// lending gives an invite's text to somebody who is not meant.
func (m *maker) lending() error {
	if len(m.things["place"]) > 12 {
		return nil
	}
	name := fmt.Sprintf("thief%d", len(m.things["place"]))
	m.things["place"] = append(m.things["place"], name)
	return m.lines(fmt.Sprintf("%s joins by %s", name, one(m, m.things["invite"])), fmt.Sprintf("%s meets %s", name, m.lied()))
}

// crowding brings many that ask to join, once a day.
func (m *maker) crowding() error {
	if m.crowded = m.crowded + 1; m.crowded > 1 {
		return nil
	}
	invite := ""
	if m.IntN(8) > 0 {
		invite = " " + one(m, m.things["invite"])
	}
	return m.dof("%s crowds %s %d%s", m.liar, m.lied(), m.IntN(1<<30), invite)
}

// hiding gives a place where the drill is ready what came after, with holes: what
// one noted who had seen another's note, and perhaps not that one.
func (m *maker) hiding() error {
	m.n++
	hitch, p := fmt.Sprintf("e%d", m.n), m.lied()
	if err := m.lines(fmt.Sprintf("house: %s = hitch by list", hitch), fmt.Sprintf("house: sign item 1 of %s", hitch),
		fmt.Sprintf("house: sign item 2 of %s", hitch), p+" meets house"); err != nil {
		return err
	}
	before := "house"
	for range 3 {
		q := m.lied()
		if q == p || q == before {
			continue
		}
		if err := m.lines(before+": note that seen", q+" meets "+before, q+": note that too", m.liar+" meets "+q); err != nil {
			return err
		}
		before = q
	}
	return m.dof("%s answers %s %d %s", m.liar, p, m.IntN(1<<30), lieWithhold)
}

// ending has the founder stop the device that lies, which then shows what it
// likes: from then on nothing that it does may change who belongs.
func (m *maker) ending() error {
	if err := m.dof("house ends %s", m.liar); err != nil {
		return err
	}
	for range 4 + m.IntN(8) {
		if err := m.lying(); err != nil {
			return err
		}
	}
	if m.IntN(8) == 0 { // it costs much: last, and seldom
		if err := m.dof("%s floods %s %d", m.liar, m.lied(), m.IntN(1<<30)); err != nil {
			return err
		}
	}
	return m.dof("house ends %s", m.liar)
}
