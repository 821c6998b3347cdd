package simtest

import "fmt"

// saying is one kind of entry that schedules write.
type saying struct {
	weight int
	kind   string // under which its name is kept, for others to refer to
	words  func(m *maker, p *Place) string
}

// sayings are what schedules write, each as often as its weight says.
func sayings() []saying {
	return []saying{
		{12, "fact", (*maker).sayFill}, {2, "fact", (*maker).sayDrain}, {3, "fact", (*maker).sayLevel},
		{3, "fact", (*maker).sayCatch}, {9, "fact", (*maker).sayDial}, {10, "fact", (*maker).sayRead}, {3, "fact", (*maker).sayBegin},
		{1, "fact", (*maker).sayReset}, {2, "fact", (*maker).sayNote}, {16, "sign", (*maker).saySign},
		{4, "hold", (*maker).sayHold}, {5, "release", (*maker).sayRelease}, {5, "hitch", (*maker).sayHitch},
		{5, "unhitch", (*maker).sayUnhitch}, {1, "fact", (*maker).sayMove}, {1, "list", (*maker).sayChecks},
		{4, "set", (*maker).saySet}, {1, "lot", (*maker).sayLot}, {1, "ground", (*maker).sayGround},
		{1, "set", (*maker).sayChart}, {2, "fact", (*maker).sayBags}, {4, "set", (*maker).sayPlan},
		{1, "fact", (*maker).sayCount}, {7, "edit", (*maker).sayAmend}, {6, "edit", (*maker).sayStrike},
		{9, "edit", (*maker).settling}, {1, "fact", (*maker).sayUnknown},
		{1, "fact", (*maker).sayFinish}, {1, "fact", (*maker).sayMeasure}, {2, "fact", (*maker).sayPour},
		{1, "spot", (*maker).saySpot}, {2, "fact", (*maker).sayGone}, {1, "errand", (*maker).sayAsk}, {5, "fact", (*maker).sayBring},
		{3, "saw", (*maker).saySeen},
	}
}

func pickWords(m *maker) saying {
	all, sum := sayings(), 0
	for _, s := range all {
		sum += s.weight
	}
	n := m.IntN(sum)
	for _, s := range all {
		if n -= s.weight; n < 0 {
			return s
		}
	}
	return all[0]
}

func (m *maker) box() string    { return one(m, m.things["box"]) }
func (m *maker) lot() string    { return one(m, m.things["lot"]) }
func (m *maker) ground() string { return one(m, m.things["ground"]) }

// side is a compartment of the box, now and then.
func (m *maker) side(box string) string {
	if box != "grass" || m.IntN(2) == 0 {
		return ""
	}
	return fmt.Sprintf(" side %d", 1+m.IntN(2))
}

// at is a reading of the counter, now and then: mostly what it truly shows.
func (m *maker) at() string {
	if m.IntN(3) > 0 {
		return ""
	}
	return " at " + m.shows()
}

func (m *maker) shows() string {
	n := m.counter + m.IntN(400) - 200*m.IntN(3)
	return fmt.Sprintf("%d.%03d", max(0, n)/1000, max(0, n)%1000)
}

func (m *maker) sayFill(*Place) string {
	box := m.box()
	amount := one(m, []string{"bags 2", "bags 2", "bags 4", "mass 100 lb", "mass 98 lb", "mass 30 lb"})
	return fmt.Sprintf("fill box %s%s with %s %s%s", box, m.side(box), m.lot(), amount, m.at())
}

func (m *maker) sayDrain(*Place) string {
	box := m.box()
	return fmt.Sprintf("drain box %s%s %s%s", box, m.side(box), one(m, []string{"all", "mass 10 lb", "mass 10.5 lb", "all mass 3 lb"}), m.at())
}

func (m *maker) sayLevel(*Place) string {
	box := m.box()
	return fmt.Sprintf("level box %s%s %s%s", box, m.side(box), one(m, []string{"mass 40 lb", "mass 0 lb", "share 50%", "share 0%"}), m.at())
}

func (m *maker) sayCatch(*Place) string {
	box := m.box()
	return fmt.Sprintf("catch box %s%s with %s dial %d turns 20 rows %d mass %d g", box, m.side(box), m.lot(), 20+m.IntN(40), 1+m.IntN(10), 1+m.IntN(400))
}

func (m *maker) sayDial(*Place) string {
	box := m.box()
	return fmt.Sprintf("dial box %s%s to %d%s why %s", box, m.side(box), one(m, []int{20, 40, 40, 42}), m.at(), one(m, []string{"plan", "light"}))
}

func (m *maker) sayRead(*Place) string {
	m.counter += m.IntN(700)
	return fmt.Sprintf("read at %s on %s", m.shows(), m.ground())
}

func (m *maker) sayBegin(*Place) string {
	on := ""
	if m.IntN(2) == 0 {
		on = " on " + m.ground()
	}
	if m.IntN(3) == 0 {
		m.counter += m.IntN(3000) // others had the drill
	}
	return "begin at " + m.shows() + on
}

func (m *maker) sayReset(*Place) string {
	from := m.shows()
	if m.IntN(2) == 0 {
		m.counter = 0
	}
	return fmt.Sprintf("reset from %s to 0 why rolled", from)
}

func (m *maker) sayNote(*Place) string { return `note that "wet by the gate"` }

func (m *maker) saySign(p *Place) string {
	h := m.know(p, m.things["hitch"])
	if h == "" {
		return m.sayHitch(p)
	}
	return fmt.Sprintf("sign item %d of %s", 1+m.IntN(3), h)
}

func (m *maker) sayHold(*Place) string {
	return one(m, []string{"hold why pin", "hold why hose", "hold drill none why stop"})
}

func (m *maker) sayRelease(p *Place) string {
	if h := m.know(p, m.things["hold"]); h != "" && m.IntN(3) == 0 {
		return "release holds " + h + " why fixed"
	}
	return "release why fixed" // all that are open
}

func (m *maker) saySeen(p *Place) string {
	if h := m.know(p, m.things["hold"]); h != "" && m.IntN(2) == 0 {
		return "see holds " + h
	}
	return "see" // all that are open
}

func (m *maker) sayHitch(p *Place) string {
	return fmt.Sprintf("hitch by %s tractor blue", m.know(p, m.things["list"]))
}

func (m *maker) sayUnhitch(*Place) string { return "unhitch why done" }

func (m *maker) sayMove(*Place) string { return "move to " + one(m, []string{"field", "transport"}) }

func (m *maker) sayChecks(*Place) string {
	return fmt.Sprintf("checks version %d item pin required item jack", 2+m.IntN(3))
}

// saySet changes a thing's fields.
func (m *maker) saySet(*Place) string {
	switch m.IntN(7) {
	case 0:
		return fmt.Sprintf("drill change drill rows %d", 9+m.IntN(3))
	case 1:
		return fmt.Sprintf("box change %s highest %d", m.box(), 100+m.IntN(3))
	case 2:
		return fmt.Sprintf("lot change %s bag %d lb", m.lot(), 40+10*m.IntN(2))
	case 5:
		return fmt.Sprintf("label lot %s seed %s share %d%% inert %d%%", m.lot(), one(m, []string{"oat", "fescue"}), 96+m.IntN(3), 1+m.IntN(2))
	case 3:
		return fmt.Sprintf("ground change %s name %s", m.ground(), one(m, []string{"bench", "top"}))
	case 4:
		return fmt.Sprintf("drill change drill counter %s counterturns 300", one(m, []string{"acres", "turns"}))
	}
	return fmt.Sprintf("ground change %s area %d ac notes wet", m.ground(), 3+m.IntN(5))
}

func (m *maker) sayLot(*Place) string {
	return fmt.Sprintf("lot name %s species oat", one(m, []string{"A", "B"}))
}

func (m *maker) sayGround(*Place) string { return "ground name far area 2 ac" }

func (m *maker) sayChart(*Place) string {
	box := m.box()
	if m.IntN(4) == 0 {
		return fmt.Sprintf("marks box %s%s mark %s", box, m.side(box), one(m, []string{"A B C", "1-1 1-2 2-1"}))
	}
	return fmt.Sprintf("chart box %s species oat dial %d rate %d lb/ac%s", box, 20*(1+m.IntN(3)), 20+m.IntN(30), one(m, []string{"", "", ` printed "0.7 bu/ac"`}))
}

func (m *maker) sayBags(*Place) string {
	return fmt.Sprintf("%s lot %s bags %d", one(m, []string{"bagsin", "bagsout"}), m.lot(), 1+m.IntN(20))
}

func (m *maker) sayPlan(*Place) string {
	aim := fmt.Sprintf("live %d lb/ac", 8+m.IntN(3))
	if m.IntN(4) == 0 {
		aim = "removed"
	}
	return fmt.Sprintf("plan ground %s put %s in %s %s depth %d mm", m.ground(), m.lot(), m.box(), aim, 10+m.IntN(2))
}

func (m *maker) sayCount(*Place) string {
	return fmt.Sprintf("count ground %s frame 1 ft2 species oat plants %d %d day 20600", m.ground(), m.IntN(20), m.IntN(20))
}

// sayAmend puts new words of the same kind in the place of old ones.
func (m *maker) sayAmend(p *Place) string {
	of := m.know(p, m.things[one(m, []string{"fact", "fact", "fact", "set", "sign", "hold", "spot", "errand"})])
	if of == "" {
		return ""
	}
	kind := m.entryKind(of)
	for range 60 {
		c := pickWords(m)
		if c.kind == "edit" {
			continue
		}
		words := c.words(m, p)
		if v, ok := verbs[firstWord(words)]; ok && v.kind == kind {
			return fmt.Sprintf("amend entry %s why recounted as %s", of, words)
		}
	}
	return ""
}

func firstWord(s string) string {
	for i := range s {
		if s[i] == ' ' {
			return s[:i]
		}
	}
	return s
}

func (m *maker) sayStrike(p *Place) string {
	of := m.know(p, m.things[one(m, []string{"fact", "fact", "edit", "set", "sign", "release", "hold", "hitch", "saw", "crew", "spot", "errand"})])
	if of == "" {
		return ""
	}
	return fmt.Sprintf("strike entry %s why wrong", of)
}

func (m *maker) sayFinish(*Place) string {
	return fmt.Sprintf("finish ground %s%s%s%s", m.ground(), m.at(), one(m, []string{" done", ""}), one(m, []string{"", " correction 1010", " correction 990"}))
}

func (m *maker) sayMeasure(*Place) string {
	return fmt.Sprintf("measure lot %s volume 1 qt mass %d g%s", m.lot(), 400+50*m.IntN(3), one(m, []string{"", " heaped"}))
}

func (m *maker) sayPour(*Place) string {
	box := m.box()
	return fmt.Sprintf("pour box %s%s with %s volume %d qt%s%s", box, m.side(box), m.lot(), 4+m.IntN(3), one(m, []string{"", " heaped"}), m.at())
}

func (m *maker) saySpot(*Place) string {
	return fmt.Sprintf("pin on %s what %s row %d", m.ground(), one(m, []string{"stone", "thin", "blocked"}), 1+m.IntN(3))
}

// sayGone says that a spot is gone, or notes one where none is known.
func (m *maker) sayGone(p *Place) string {
	of := m.know(p, m.things["spot"])
	if of == "" {
		return m.saySpot(p)
	}
	return fmt.Sprintf("pin of %s gone", of)
}

func (m *maker) sayAsk(*Place) string {
	return fmt.Sprintf("bring lot %s %s box %s state wanted", m.lot(), one(m, []string{"bags 2", "mass 60 lb"}), m.box())
}

// sayBring says how far something has come that was asked for, or asks for it.
func (m *maker) sayBring(p *Place) string {
	of := m.know(p, m.things["errand"])
	if of == "" {
		return m.sayAsk(p)
	}
	return fmt.Sprintf("bring of %s state %s", of, one(m, []string{"wanted", "coming", "there"}))
}

func (m *maker) sayUnknown(*Place) string {
	return one(m, []string{`unknown 77 "a drone's picture"`, `unknown fill "with moisture"`, `unknown release "by voice"`})
}
