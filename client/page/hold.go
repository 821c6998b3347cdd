package page

import (
	"net/http"
	"slices"
	"strings"
	"sync"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// raise writes a hold at one press. Nothing that can wait stands in between: not
// the token of a form from before the program was started again, not who it was,
// not why. Another site is kept out by what the browser says of where a press
// comes from (guard), and needs no token for that. Who and why are asked after.
func (p *Page) raise(w http.ResponseWriter, r *http.Request) {
	_ = r.ParseForm() // whatever else came with it, a hold is raised
	q := p.request(w, r, "unheld")
	id, err := p.pressed.once(q.Val("press"), q.isOpen, func() (entry.ID, error) { return q.raise() })
	if err != nil {
		p.opts.Logger.Error("a hold was not written", "err", err)
		q.Data = refusal(err)
		if q.Data == "" {
			q.Data = err.Error()
		}
		q.render(w, http.StatusUnprocessableEntity)
		return
	}
	p.wroteBy(w, q)
	http.Redirect(w, r, "/hold/"+id.String()+"?back="+back(q.Val("from")), http.StatusSeeOther)
}

// raise writes the hold: of the only drill, or of all where there are several,
// as nobody is asked which. Where nobody was chosen on a shared screen, the
// device's own person stands for it, and the hold says that it may be another.
func (q *request) raise() (entry.ID, error) {
	var h client.Hold
	if drills := q.page.farm.View().Drills; len(drills) == 1 {
		h.Drill = drills[0].ID
	}
	if q.Nobody() {
		h.Why = texts.Text("hold.nobody")
	}
	ids, err := q.page.farm.Ask(q.r.Context(), client.Writing{Person: q.person(), Build: q.page.farm.Intend(h), Anyway: true})
	if err != nil {
		return entry.ID{}, err
	}
	return ids[0], nil
}

// Nobody says that nobody was chosen to write, on a screen that several share.
func (q *request) Nobody() bool { return q.Who.IsZero() && q.page.opts.Shared }

// isOpen says whether a hold stands by what is known now.
func (q *request) isOpen(id entry.ID) bool {
	drills := q.page.farm.View().Drills
	return len(drills) == 0 || slices.ContainsFunc(drills, func(d farm.Drill) bool {
		is := func(h farm.Hold) bool { return h.Entry == id }
		return slices.ContainsFunc(d.Hitch.Holds, is) || slices.ContainsFunc(d.Hitch.Strangers, is)
	})
}

// pressesKept is how many presses are remembered: more than a day has.
const pressesKept = 1000

// presses remembers which hold a press of the button raised, so that a double
// tap raises one.
type presses struct {
	mu   sync.Mutex
	held map[string]entry.ID // by the number of the button
}

// once raises a hold, unless the one that the button raised before stands still:
// a view that is shown again after a release has the same button.
func (s *presses) once(press string, open func(entry.ID) bool, raise func() (entry.ID, error)) (entry.ID, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if id, ok := s.held[press]; ok && press != "" && open(id) {
		return id, nil
	}
	id, err := raise()
	if err != nil {
		return id, err
	}
	if s.held == nil || len(s.held) == pressesKept {
		s.held = map[string]entry.ID{}
	}
	s.held[press] = id
	return id, nil
}

// holdReasons are the short words for a hold.
var holdReasons = []string{"people", "hydraulics", "broken", "seed"}

// heldForm is a hold that was raised: who knows of it, and a form that says who
// raised it, and why. What that adds is a note about the hold: the hold itself is
// never changed, and a second one could stop work again after the first was
// released.
type heldForm struct {
	words.Line
	Hold    openHold
	Open    bool
	Reasons []string
	Back    string
}

func (f *heldForm) load(q *request) (err error) {
	if f.Line, err = found(q.page.farm.Line(q.pathID())); err != nil {
		return err
	}
	if f.Kind != entry.KindHoldRaised {
		return errNotThere
	}
	f.Reasons, f.Back = holdReasons, local(q.Val("back"))
	f.Hold = openHold{Hold: farm.Hold{Entry: f.ID, By: f.Person, Wall: f.Wall}}
	f.Hold.Notes = q.notesOn(f.ID)
	for _, h := range q.Holds() {
		if h.Entry == f.ID {
			f.Hold, f.Open = h, true
		}
	}
	return nil
}

func (f *heldForm) bodies(q *request) []entry.Body {
	var said []string
	if r := q.Val("reason"); slices.Contains(holdReasons, r) {
		said = append(said, texts.Text("holdreason."+r))
	}
	if why := q.Val("why"); why != "" {
		said = append(said, why)
	}
	if len(said) == 0 && q.Val("itwas") != "" {
		said = append(said, texts.Text("hold.itwas"))
	}
	if len(said) == 0 {
		q.refuse("why", texts.Text("form.missing"))
		return nil
	}
	return q.intend(nil, client.Note{Text: strings.Join(said, ": "), About: f.ID})
}

func (f *heldForm) done() string { return "/hold/" + f.ID.String() + "?back=" + back(f.Back) }

// Alone says that the farm has no other device that could hear of anything.
func (q *request) Alone() bool { return !q.others() }
