package client

import (
	"errors"
	"fmt"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// An Intent is what somebody on the crew did, saw or decided, in the terms of
// the day: a Fill, a Dial, a Sign. It knows what must hold before that can be
// written, and which entries say it. A command, a page and an app all write by
// intents, so the rules are the same for each.
type Intent interface {
	// bodies are the entries that say it, on the farm as it stands. next(i) is
	// the ID that the i-th of them will have. The error is Refused.
	bodies(c *Farm, look Look, next func(int) entry.ID) ([]entry.Body, error)
}

// Intend builds what intents say, for [Farm.Ask]. The error of one that
// cannot be written as it stands is Refused; nothing is written then.
func (f *Farm) Intend(intents ...Intent) Build {
	return func(look Look, next func(int) entry.ID) ([]entry.Body, error) {
		var all []entry.Body
		var refused Refused
		for _, in := range intents {
			from := len(all)
			bodies, err := in.bodies(f, look, func(i int) entry.ID { return next(from + i) })
			var r Refused
			switch {
			case errors.As(err, &r):
				refused = append(refused, r...)
			case err != nil:
				return nil, err
			}
			all = append(all, bodies...)
		}
		if len(refused) > 0 {
			return nil, refused
		}
		return all, nil
	}
}

// Refused is why an intent cannot be written as it stands: each thing that is
// wrong with it, the first first.
type Refused []Refusal

// Refusal is one thing that is wrong with an intent.
type Refusal struct {
	Field string // of the intent, in lower case: "lot"
	Why   Wrong
	Name  string   // of the thing that it is about, where there is one
	Entry entry.ID // the entry that it is about, where there is one
	Err   error    // what the rate engine said, where it did
}

func (r Refused) Error() string {
	texts := make([]string, len(r))
	for i := range r {
		texts[i] = r[i].text()
	}
	return strings.Join(texts, "; ")
}

// Unwrap gives the rate engine's errors.
func (r Refused) Unwrap() (errs []error) {
	for i := range r {
		if r[i].Err != nil {
			errs = append(errs, r[i].Err)
		}
	}
	return errs
}

func (r *Refusal) text() string {
	text := string(r.Why)
	if r.Name != "" {
		text = r.Name + ": " + text
	}
	if r.Err != nil {
		text += " (" + r.Err.Error() + ")"
	}
	return fmt.Sprintf("%s: %s", r.Field, text)
}

// Wrong is what can be wrong with an intent, in plain words.
type Wrong string

// What can be wrong with an intent. A front end has words of its own that name
// its fields, and says what to do next.
const (
	Missing        Wrong = "it is missing"
	NotHere        Wrong = "this device's record has no such thing"
	TwoAmounts     Wrong = "the same is said in two ways: give one"
	NoAmount       Wrong = "how much is missing: more than 0 is wanted"
	NoSuchSide     Wrong = "the box has no such compartment"
	SideNeeded     Wrong = "the box has a dial for each compartment: say which"
	OneDialOnly    Wrong = "the box has one dial for all of it"
	OffTheDial     Wrong = "the dial does not go there"
	BagUnknown     Wrong = "what a bag of it weighs is not known"
	MeasureUnknown Wrong = "what a measure of it weighs is not known"
	CounterUnknown Wrong = "what its counter counts is not known"
	RollUnknown    Wrong = "how far its wheel rolls is not known"
	SpacingUnknown Wrong = "its row spacing is not known"
	NoRate         Wrong = "no rate follows from it"
	NoStand        Wrong = "no stand follows from it"
	NoChecks       Wrong = "no list of checks is set yet"
	NoHitch        Wrong = "no hitch is begun"
	AnotherHitch   Wrong = "the hitch is another one by now"
	NoSuchCheck    Wrong = "the hitch's list has no such check"
	NoHold         Wrong = "no hold is open that this device knows of"
	StrangersHold  Wrong = "the hold is of a device that waits to be let in"
	NoSuchHold     Wrong = "it is no open hold on the drill"
	NoCorrection   Wrong = "the counter and the piece's area call for no correction"
	NoSuchChoice   Wrong = "it is no choice of this doubt"
	NoFigure       Wrong = "the choice wants a figure"
	FigureUnwanted Wrong = "the choice wants no figure"
	AboveReading   Wrong = "it is more than the reading that is in doubt"
	NothingNew     Wrong = "it says so already"
	NoSuchDay      Wrong = "the day is none on which it can have been"
	SpeciesUnknown Wrong = "nothing was published of such a species"
	NoSpecies      Wrong = "what a label says is said of a species: it is missing"
	CoatingUnclear Wrong = "how the coating is counted does not follow from the label"
	BoxMissing     Wrong = "its box is missing"
	OneAim         Wrong = "one aim is wanted: a rate of live seed, or seeds to the area"
	PointTwice     Wrong = "the chart has it twice"
	NotRising      Wrong = "a chart's rates rise with the dial, or fall where the dial is reversed"
	NoSuchRow      Wrong = "no drill has so many rows"
	NotOwner       Wrong = "only an owner's device says so"
	NothingOfIt    Wrong = "nothing of it is here yet"
	NobodyMeant    Wrong = "nobody on this farm is meant"
	PersonStopped  Wrong = "the person was stopped"
	AboveRole      Wrong = "it is more than the person may do"
	NotStopped     Wrong = "it is not stopped"
	Gone           Wrong = "the entry stands for nothing any more"
	NotAmended     Wrong = "an entry of its kind is not amended"
	NotStruck      Wrong = "an entry of its kind is not struck"
)

// refusing gathers what is wrong with one intent.
type refusing struct{ list Refused }

func (r *refusing) because(wrong bool, field string, why Wrong, name string) bool {
	if wrong {
		r.list = append(r.list, Refusal{Field: field, Why: why, Name: name})
	}
	return wrong
}

func (r *refusing) failed(err error, field string, why Wrong, name string) {
	if err != nil {
		r.list = append(r.list, Refusal{Field: field, Why: why, Name: name, Err: err})
	}
}

// day refuses a day on which nothing can have been done, as CheckDay has it.
func (r *refusing) day(on *Farm, field, called string, day entry.Opt[int64], years int) {
	if day.Set {
		r.failed(on.CheckDay(called, day.Val, years), field, NoSuchDay, "")
	}
}

// entry refuses for the sake of an entry.
func (r *refusing) entry(wrong bool, field string, why Wrong, name string, id entry.ID) {
	if wrong {
		r.list = append(r.list, Refusal{Field: field, Why: why, Name: name, Entry: id})
	}
}

// or gives the bodies, unless something is wrong.
func (r *refusing) or(bodies ...entry.Body) ([]entry.Body, error) {
	if len(r.list) > 0 {
		return nil, r.list
	}
	return bodies, nil
}

// box finds a box, and checks that it has a compartment: 0 for all of it.
func (r *refusing) box(v *farm.View, id entry.ID, side int64) farm.Box {
	b, ok := v.BoxOf(id)
	if !r.because(!ok, "box", NotHere, "") {
		r.because(side < 0 || side > int64(len(b.Sides)), "side", NoSuchSide, b.Name)
	}
	return b
}

func (r *refusing) lot(v *farm.View, id entry.ID) farm.Lot {
	l, ok := v.LotOf(id)
	if id.IsZero() {
		r.because(true, "lot", Missing, "")
	} else {
		r.because(!ok, "lot", NotHere, "")
	}
	return l
}

func (r *refusing) drill(v *farm.View, id entry.ID) (farm.Drill, bool) {
	d, ok := v.DrillOf(id)
	return d, !r.because(!ok, "drill", NotHere, "")
}

func (r *refusing) ground(v *farm.View, id entry.ID) farm.Ground {
	g, ok := v.GroundOf(id)
	if id.IsZero() {
		r.because(true, "ground", Missing, "")
	} else {
		r.because(!ok, "ground", NotHere, "")
	}
	return g
}

// given counts what of several ways to say one thing was used.
func given(ways ...bool) (n int) {
	for _, w := range ways {
		if w {
			n++
		}
	}
	return n
}
