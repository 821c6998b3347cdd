package page

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// auditPage is what happened, the latest first.
type auditPage struct {
	Lines   []words.Line
	Total   int // that the filters let through
	From    int
	Newer   string // address of the lines before these; empty where there are none
	Older   string
	People  []farm.Member
	Kinds   []entry.Kind
	Filters bool // any is set
}

// onePage is how many lines are shown at a time: some screens of a phone.
const onePage = 50

func audit(q *request) (any, error) {
	all := q.page.linesOf(q.View)
	v := auditPage{People: q.View.Crew, Kinds: kindsIn(all)}
	f := q.filter()
	v.Filters = f.any()
	lines := f.through(all)
	slices.Reverse(lines)
	v.Total = len(lines)
	from, _ := strconv.Atoi(q.Val("from"))
	v.From = min(max(from, 0), v.Total)
	to := min(v.From+onePage, v.Total)
	v.Lines = lines[v.From:to]
	if v.From > 0 {
		v.Newer = q.paged(max(0, v.From-onePage))
	}
	if to < v.Total {
		v.Older = q.paged(to)
	}
	return v, nil
}

func (q *request) paged(from int) string {
	vals := cloned(q.vals)
	vals.Del("wrote")
	vals.Set("from", strconv.Itoa(from))
	return "/log?" + url.Values(vals).Encode()
}

func kindsIn(lines []words.Line) []entry.Kind {
	var out []entry.Kind
	for i := range lines {
		out = append(out, lines[i].Kind)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// lineFilter is what somebody wants to see of the audit.
type lineFilter struct {
	about, person entry.ID
	kind          entry.Kind
	text          string
	since         int64 // ms since 1970
}

func (q *request) filter() lineFilter {
	f := lineFilter{about: q.id("about"), person: q.id("person"), text: strings.ToLower(q.Val("text"))}
	f.kind, _ = entry.ParseKind(q.Val("kind"))
	if day, err := time.ParseInLocation(time.DateOnly, q.Val("since"), q.zone); err == nil {
		f.since = day.UnixMilli()
	}
	return f
}

func (f lineFilter) any() bool { return f != lineFilter{} }

// through gives the lines that a filter lets through. What was written about
// such a line (that it was struck, or settled) comes with it.
func (f lineFilter) through(lines []words.Line) (out []words.Line) {
	about := map[entry.ID]bool{f.about: true}
	for _, l := range lines {
		if !f.about.IsZero() && l.ID != f.about {
			if !slices.ContainsFunc(l.About, func(id entry.ID) bool { return about[id] }) {
				continue
			}
			about[l.ID] = true
		}
		if l.Wall >= f.since && (f.person.IsZero() || l.Person == f.person) && (f.kind == 0 || l.Kind == f.kind) &&
			(f.text == "" || strings.Contains(strings.ToLower(l.What+" "+l.By+" "+l.Device), f.text)) {
			out = append(out, l)
		}
	}
	return out
}

// lineCache keeps the audit of the latest state.
type lineCache struct {
	mu    sync.Mutex
	view  *farm.View
	lines []words.Line
}

// linesOf is the audit of a state. A view is made once for each state, so it
// tells whether the lines are still right.
func (p *Page) linesOf(v *farm.View) []words.Line {
	p.lines.mu.Lock()
	defer p.lines.mu.Unlock()
	if p.lines.view != v {
		p.lines.view, p.lines.lines = v, p.farm.Lines()
	}
	return p.lines.lines
}

// strikeForm shows one entry, and strikes it.
type strikeForm struct {
	words.Line
	Later []words.Line // what was written about it
}

func (f *strikeForm) load(q *request) (err error) {
	if f.Line, err = found(q.page.farm.Line(q.pathID())); err != nil {
		return err
	}
	for _, l := range q.page.linesOf(q.View) {
		if l.ID != f.ID && slices.Contains(l.About, f.ID) {
			f.Later = append(f.Later, l)
		}
	}
	return nil
}

// CanStrike says whether striking it means anything.
func (f *strikeForm) CanStrike() bool {
	return !f.Struck && farm.Strikable(f.Kind)
}

func (f *strikeForm) bodies(q *request) []entry.Body {
	return q.intend(nil, client.Strike{Entry: f.ID, Why: q.Val("why")})
}

func (f *strikeForm) done() string { return "/entry/" + f.ID.String() }
