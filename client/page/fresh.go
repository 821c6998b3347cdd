package page

import (
	"encoding/json"
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// beat is how often an open page is told that turnrow is there and what time it
// has. A page that hears none for two and a half of them says that it is blind
// (assets/fresh.js): a person looks up after ten seconds, not after a minute.
const beat = 4 * time.Second

// From when on something shown is called old, in words and by a pattern.
const (
	// oldMeeting is longer than a device that reaches the others goes without an
	// exchange, ten minutes at the most (syncer.Loop).
	oldMeeting = 15 * time.Minute
	// oldReading is what a drill of a few acres an hour needs for a good part of a
	// box. A box that may run dry sooner is old sooner.
	oldReading = 30 * time.Minute
	// aheadOf is how far clocks of a crew may differ without a word.
	aheadOf = 2 * time.Minute
)

// pulse is what a beat tells: whose page it is, the time here, and when this
// device last met another (0: never), both in ms since 1970.
func (p *Page) pulse() string {
	met, _ := p.farm.Met()
	return fmt.Sprintf("%s %d %d", p.farm.Device(), p.opts.Now().UnixMilli(), milli(met))
}

func milli(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// Device is whose page it is.
func (q *request) Device() string { return q.page.farm.Device().String() }

// Beat is how often the page is told that turnrow is there, in ms.
func (q *request) Beat() int64 { return beat.Milliseconds() }

// Made is when the view was made, in ms since 1970.
func (q *request) Made() int64 { return q.now().UnixMilli() }

// ZoneAhead is how far the farm's clocks are ahead of UTC, in ms.
func (q *request) ZoneAhead() int64 {
	_, s := q.now().Zone()
	return int64(s) * 1000
}

// AgeWords are the words of an age, for the page to count on by itself: what is
// less than a minute old, then one and several of each unit, and the words for
// what is old and for what is dated after now.
func (q *request) AgeWords() (string, error) {
	list := []string{texts.Text("ago.now")}
	for _, unit := range []string{"minutes", "hours", "days"} {
		list = append(list, texts["ago."+unit+".one"], texts["ago."+unit+".many"])
	}
	list = append(list, texts.Text("age.old", "%s"), texts.Text("age.ahead"))
	b, err := json.Marshal(list)
	return string(b), err
}

// age is how long ago something was, for the page to count on: old from when
// on it is called that; 0: never.
func (q *request) age(since int64, old time.Duration) template.HTML {
	return q.ageOf(since, old, "")
}

func (q *request) ageOf(since int64, old time.Duration, attribute string) template.HTML {
	past := q.now().Sub(time.UnixMilli(since))
	text, class := ago(past), "age"
	switch {
	case past < -aheadOf:
		text, class = texts.Text("age.ahead"), "age old"
	case old > 0 && past >= old:
		text, class = texts.Text("age.old", text), "age old"
	}
	return template.HTML(fmt.Sprintf(`<time class="%s" datetime="%s" data-since="%d" data-old="%d"%s>%s</time>`,
		class, q.Stamp(since), since, old.Milliseconds(), attribute, html.EscapeString(text)))
}

// agePlace stands in a sentence where an age goes; no text of a record holds it,
// which is of Unicode's private use.
const agePlace = "\uE000"

// aged puts an age into a sentence, in the place of agePlace.
func aged(sentence string, age template.HTML) template.HTML {
	return template.HTML(strings.Replace(html.EscapeString(sentence), agePlace, string(age), 1))
}

// Known says how far what this device knows goes, which is as far as READY goes.
func (q *request) Known() template.HTML {
	return q.asKnown(texts.Text("known." + q.knownBy()))
}

// Ready says what READY means here: that this device knows of nothing against
// it, how far what it knows goes, and when the last check was signed.
func (q *request) Ready(h farm.Hitch) template.HTML {
	out := q.asKnown(texts.Text("ready." + q.knownBy()))
	last := int64(0)
	for _, s := range h.Signed {
		last = max(last, s.Wall)
	}
	if last > 0 {
		out += " " + aged(texts.Text("ready.signed", agePlace), q.age(last, 0))
	}
	return out
}

// How far what this device knows goes.
const (
	alone = "alone" // there is no other
	unmet = "never" // it has yet to meet one
	asMet = "met"   // as far as the others had it when it met them
)

func (q *request) knownBy() string {
	met, _ := q.page.farm.Met()
	switch {
	case !q.others():
		return alone
	case met.IsZero():
		return unmet
	}
	return asMet
}

func (q *request) asKnown(sentence string) template.HTML {
	switch q.knownBy() {
	case asMet:
		met, _ := q.page.farm.Met()
		return aged(strings.Replace(sentence, "%s", agePlace, 1), q.ageOf(met.UnixMilli(), oldMeeting, " data-met"))
	case unmet:
		return template.HTML(`<span class="age old">` + html.EscapeString(sentence) + `</span>`)
	}
	return template.HTML(html.EscapeString(sentence))
}

// others says whether others may write what this device has yet to hear of.
func (q *request) others() bool {
	me := q.page.farm.Device()
	return slices.ContainsFunc(q.View.Devices, func(d farm.Device) bool { return d.ID != me && d.Joined && !d.Stopped })
}

// wall is when an entry was written, by its writer's clock.
func (q *request) wall(id entry.ID) (ms int64, ok bool) {
	l, ok := q.page.farm.Line(id)
	return l.Wall, ok
}

// ReadAgo is how long ago a reading was written.
func (q *request) ReadAgo(r *farm.Reading) template.HTML {
	ms, ok := q.wall(r.Entry)
	if !ok {
		return ""
	}
	return q.age(ms, oldReading)
}

// AsOf says which reading of the counter a box's figures go by, or what was
// last written about it, and how long ago that was.
func (q *request) AsOf(b farm.Box) template.HTML {
	old := oldReading
	if b.MinutesLeft != nil {
		old = min(old, time.Duration(b.MinutesLeft.P10*float64(time.Minute)))
	}
	if d, ok := q.View.DrillOf(b.Drill); ok && d.Reading != nil {
		return q.asOf(*d.Reading, old)
	}
	if n := len(b.Events); n > 0 {
		if ms, ok := q.wall(b.Events[n-1]); ok {
			return aged(texts.Text("age.asofnote", agePlace), q.age(ms, 0))
		}
	}
	return ""
}

func (q *request) asOf(r farm.Reading, old time.Duration) template.HTML {
	ms, ok := q.wall(r.Entry)
	if !ok {
		return ""
	}
	return aged(texts.Text("age.asof", r.Reading, agePlace), q.age(ms, old))
}

// AsOfGround says which reading of a counter what is done of a piece goes by.
// It grows old while that piece is the one that is worked.
func (q *request) AsOfGround(g farm.Ground) template.HTML {
	var last farm.Reading
	at, old := int64(0), time.Duration(0)
	for i := range q.View.Drills {
		d := &q.View.Drills[i]
		for _, r := range slices.Backward(d.Readings) {
			if r.Ground != g.ID {
				continue
			}
			if ms, ok := q.wall(r.Entry); ok && ms >= at {
				last, at = r, ms
			}
			if r.Entry == d.Reading.Entry && !g.Finished {
				old = oldReading
			}
			break
		}
	}
	if at == 0 {
		return ""
	}
	return q.asOf(last, old)
}
