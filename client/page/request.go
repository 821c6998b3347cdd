package page

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// errNotThere is a thing that this device's record does not hold.
var errNotThere = errors.New("not there")

// request is one view being shown or one form being answered; templates see
// it, with Data as the view's own.
type request struct {
	*form
	page    *Page
	r       *http.Request
	View    *farm.View
	System  units.System
	zone    *time.Location
	session string
	refused client.Refused       // what was wrong with the intents of the form
	open    []openHold           // the holds that stand, once the view has asked
	rests   *sheet.Rests         // which doubts figures rest on, once a view has asked
	next    func(i int) entry.ID // what the i-th body of the form being written will be called

	Name  string // of the view
	Token string
	Who   entry.ID
	Asked bool // somebody was chosen openly, and is not the device's own person
	Data  any
	Wrote []words.Line // what the form before this view wrote
}

func (p *Page) request(w http.ResponseWriter, r *http.Request, name string) *request {
	q := &request{page: p, r: r, View: p.farm.View(), Name: name, zone: p.opts.Zone}
	q.System = p.system(r, q.View)
	if z, err := time.LoadLocation(q.View.TimeZone); err == nil && q.View.TimeZone != "" {
		q.zone = z
	}
	q.session = p.session(w, r)
	q.Token = p.token(q.session)
	q.Who, q.Asked = p.writing(r, q.View)
	vals := r.URL.Query()
	if r.Method == http.MethodPost {
		vals = sentLines(r.PostForm)
	}
	q.form = newForm(vals, q.System)
	return q
}

// sentLines is a form as it was typed: a browser sends the end of a line as two
// characters (HTML Standard, "newline normalization").
func sentLines(vals url.Values) url.Values {
	for _, list := range vals {
		for i := range list {
			list[i] = strings.ReplaceAll(list[i], "\r\n", "\n")
		}
	}
	return vals
}

// system is the units to show: as this screen chose, as the program was told,
// or as the farm is.
func (p *Page) system(r *http.Request, v *farm.View) units.System {
	if s, err := units.ParseSystem(p.cookie(r, "units")); err == nil {
		return s
	}
	switch {
	case p.opts.Units != nil:
		return *p.opts.Units
	case v.Metric:
		return units.Metric
	}
	return units.US
}

// pathID is the entry that the address names.
func (q *request) pathID() entry.ID {
	id, err := entry.ParseID(q.r.PathValue("device") + "/" + q.r.PathValue("seq"))
	if err != nil {
		return entry.ID{}
	}
	return id
}

// pathBox is the box that the address names.
func (q *request) pathBox() (farm.Box, error) {
	return found(q.View.BoxOf(q.pathID()))
}

func (q *request) pathGround() (farm.Ground, error) {
	return found(q.View.GroundOf(q.pathID()))
}

// find finds things by their IDs, which forms post, or their names.
func (q *request) find() fields.Finder { return fields.Finder{View: q.View} }

// side is the compartment of a box that a field names; 0 for all of it.
func (q *request) side(name string, b farm.Box) int64 {
	side, err := q.find().Side(b, q.sideText(name))
	if err != nil {
		q.refuse(name, texts.Text("form.side"))
	}
	return side
}

// sideText is a side as people call it, who know no side 0.
func (q *request) sideText(name string) string { return strings.TrimPrefix(q.Val(name), "0") }

func found[T any](t T, ok bool) (T, error) {
	if !ok {
		return t, errNotThere
	}
	return t, nil
}

// drill is the drill that is asked for; the only one, or the first.
func (q *request) drill() (farm.Drill, error) {
	if d, ok := q.View.DrillOf(q.id("drill")); ok {
		return d, nil
	}
	if len(q.View.Drills) == 0 {
		return farm.Drill{}, errNotThere
	}
	return q.View.Drills[0], nil
}

// now is the time as the page has it, where the farm is.
func (q *request) now() time.Time { return q.page.opts.Now().In(q.zone) }

// today counts the farm's days since 1970.
func (q *request) today() int64 { return dayOf(q.now()) }

func dayOf(t time.Time) int64 {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400
}

// OnlyHere says whether an entry is on this device alone.
func (q *request) OnlyHere(id entry.ID) bool {
	me := q.page.farm.Device()
	if id.Log != me.Log() {
		return false
	}
	return id.Seq > q.own()-min(q.own(), uint64(q.Pending()))
}

// own is how many entries this device wrote.
func (q *request) own() uint64 {
	for _, d := range q.View.Devices {
		if d.ID == q.page.farm.Device() {
			return d.Entries
		}
	}
	return 0
}

// onlyOf says how many of some entries are on this device alone.
func (q *request) onlyOf(ids []entry.ID) int {
	n := 0
	for _, id := range ids {
		if q.OnlyHere(id) {
			n++
		}
	}
	return n
}

// Pending is how many entries are on this device alone.
func (q *request) Pending() int { return q.page.farm.Pending() }

// Version changes whenever the page may have to show something else.
func (q *request) Version() string { return q.page.version(q.View) }

// Writer is the name of who is writing; empty where nobody was chosen yet.
func (q *request) Writer() string { return q.View.NameOf(q.Who) }

// Role is what the person who is writing may do here: no more than the
// device's own person may.
func (q *request) Role() entry.Role {
	role := entry.Owner
	for _, id := range []entry.ID{q.Who, q.page.farm.Person()} {
		for _, m := range q.View.Crew {
			if m.ID == id && !id.IsZero() {
				role = min(role, m.Role)
			}
		}
	}
	return role
}

// MayOperate says whether who is writing may move dials, plan, sign and
// release.
func (q *request) MayOperate() bool { return q.Role() >= entry.Operator }

// Clock writes a time of the record, in ms since 1970: today's by the clock
// alone, other years' with the year.
func (q *request) Clock(ms int64) string {
	t := time.UnixMilli(ms).In(q.zone)
	switch {
	case dayOf(t) == q.today():
		return t.Format("15:04")
	case t.Year() != q.now().Year():
		return t.Format("2 Jan 2006 15:04")
	}
	return t.Format("2 Jan 15:04")
}

// Day writes a day, counted since 1970.
func (q *request) Day(day int64) string {
	return time.Unix(day*86400, 0).UTC().Format("2 Jan 2006")
}

// Stamp is a time of the record for machines.
func (q *request) Stamp(ms int64) string {
	return time.UnixMilli(ms).In(q.zone).Format(time.RFC3339)
}

// Here is this view's own address, without what a form before it wrote.
func (q *request) Here() string {
	u := url.URL{Path: q.r.URL.Path}
	vals := q.r.URL.Query()
	vals.Del("wrote")
	u.RawQuery = vals.Encode()
	return u.String()
}

// Plus adds whole numbers, for templates.
func (q *request) Plus(a, b int) int { return a + b }

// Shares are how full a box may be called at a glance.
func (q *request) Shares() []string { return []string{"0%", "25%", "50%", "75%", "100%"} }

// Money writes an amount in the farm's money.
func (q *request) Money(m units.Money) string { return m.Format(q.View.MoneySign) }

// PerArea writes what an order costs for each acre or hectare.
func (q *request) PerArea(b rate.Bill) string {
	cost, unit := b.CostPerAcre(), "ac"
	if q.System == units.Metric {
		cost, unit = b.CostPerHectare(), "ha"
	}
	return q.View.MoneySign + strconv.FormatFloat(cost, 'f', 2, 64) + "/" + unit
}
