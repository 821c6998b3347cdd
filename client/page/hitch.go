package page

import (
	"strconv"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// hitchPage is how the hitch of a drill stands.
type hitchPage struct {
	Drill  farm.Drill
	Drills []farm.Drill
	Begun  words.Line
	Items  []checkItem
	List   farm.Checklist // the latest, to begin a hitch on
	Signed int
	Field  bool // made up for the field
	Known  bool // whether it is made up for field or road is known
}

// checkItem is a check, and who signed it.
type checkItem struct {
	entry.CheckItem
	Number int64
	Signed *farm.Signed
	By     words.Line
}

func hitchView(q *request) (any, error) {
	d, err := q.drill()
	if err != nil {
		return hitchPage{}, nil
	}
	v := hitchPage{Drill: d, Drills: q.View.Drills, Field: d.State == entry.InField, Known: d.State != 0}
	v.List, _ = client.LatestChecks(q.View)
	if d.Hitch.Begun.IsZero() {
		return v, nil
	}
	v.Begun, _ = q.page.farm.Line(d.Hitch.Begun)
	for _, c := range q.View.Checks {
		if c.ID == d.Hitch.Checks {
			v.items(q, c.Items)
		}
	}
	return v, nil
}

func (v *hitchPage) items(q *request, items []entry.CheckItem) {
	for i, it := range items {
		c := checkItem{CheckItem: it, Number: int64(i + 1)}
		for j := range v.Drill.Hitch.Signed {
			if s := &v.Drill.Hitch.Signed[j]; s.Item == c.Number {
				c.Signed = s
				c.By, _ = q.page.farm.Line(s.Entry)
				v.Signed++
			}
		}
		v.Items = append(v.Items, c)
	}
}

// drillButton is what the buttons of the hitch have in common.
type drillButton struct{ drill farm.Drill }

func (b *drillButton) load(q *request) (err error) {
	b.drill, err = q.drill()
	return err
}

func (b *drillButton) done() string { return "/hitch?drill=" + b.drill.ID.String() }

// beginHitch begins a hitch on the latest list of checks.
type beginHitch struct{ drillButton }

func (b *beginHitch) bodies(q *request) []entry.Body {
	return q.intend(nil, client.Hitch{Drill: b.drill.ID, Tractor: q.Val("tractor")})
}

// signItem signs one check, of the hitch that the button was shown for.
type signItem struct{ drillButton }

func (b *signItem) bodies(q *request) []entry.Body {
	n, _ := strconv.ParseInt(q.Val("item"), 10, 64) // 0 is no check
	return q.intend(nil, client.Sign{Drill: b.drill.ID, Hitch: q.id("hitch"), Items: []int64{n}})
}

// releaseHolds releases the holds that were shown.
type releaseHolds struct{ drillButton }

func (b *releaseHolds) bodies(q *request) []entry.Body {
	if q.need("why"); q.Wrong["why"] != "" {
		q.refuse("", texts.Text("hitch.whyrelease"))
	}
	r := client.Release{Drill: b.drill.ID, Why: q.Val("why")}
	for _, s := range q.vals["hold"] {
		if id, err := entry.ParseID(s); err == nil {
			r.Holds = append(r.Holds, id)
		}
	}
	if len(r.Holds) == 0 {
		q.refuse("", texts.Text("hitch.nohold"))
		return nil
	}
	return q.intend(nil, r)
}

// unhitch ends a hitch.
type unhitch struct{ drillButton }

func (b *unhitch) bodies(q *request) []entry.Body {
	return q.intend(nil, client.Unhitch{Drill: b.drill.ID, Why: q.Val("why")})
}

// moveDrill says that a drill is made up for the field, or for the road.
type moveDrill struct{ drillButton }

func (b *moveDrill) bodies(q *request) []entry.Body {
	state := entry.InField
	if q.Val("state") == "road" {
		state = entry.Transport
	}
	return q.intend(nil, client.MakeUp{Drill: b.drill.ID, For: state})
}
