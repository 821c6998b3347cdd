package farm

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/entry"
)

// Spot is a spot of ground that somebody noted. Spots noted apart are all
// there, and none is in doubt: two may have seen one stone. It is gone once
// anybody who may says so.
type Spot struct {
	ID   entry.ID
	Said entry.Pinned // what stands of it now
	Gone entry.ID     // the first entry that says that it is gone; zero while it is there
}

// spots are the spots that were noted, in total order, those that are gone too.
func (s *viewSt) spots() []Spot {
	var out []Spot
	at := map[entry.ID]int{}
	for _, r := range s.pinned.all() {
		if b := r.eff.(*entry.Pinned); b.Of.IsZero() && s.canon(r.id()) == r.id() {
			at[r.id()] = len(out)
			said := *b
			said.Ground = s.canon(b.Ground)
			out = append(out, Spot{ID: r.id(), Said: said})
		}
	}
	for _, r := range s.pinned.all() {
		b := r.eff.(*entry.Pinned)
		if i, ok := at[s.canon(b.Of)]; ok && out[i].Gone.IsZero() {
			out[i].Gone = r.id()
		}
	}
	return out
}

// SpotsOn are the spots that are there on a piece of ground, of all where the
// ID is zero.
func (v *View) SpotsOn(ground entry.ID) []Spot {
	var out []Spot
	for _, p := range v.Spots {
		if p.Gone.IsZero() && (ground.IsZero() || p.Said.Ground == ground) {
			out = append(out, p)
		}
	}
	return out
}

func (s *wordSt) pinned(b *entry.Pinned) string {
	if b.Of.IsZero() {
		return s.join(s.spotText(b), b.Text)
	}
	was := "a spot"
	if r := s.find(b.Of); r != nil {
		now := r.body
		if r.eff != nil {
			now = r.eff
		}
		if of, ok := now.(*entry.Pinned); ok {
			was = s.spotText(of)
		}
	}
	return s.join("no longer there: "+was, b.Text)
}

// spotText is what is at a spot, and where, without its text.
func (s *wordSt) spotText(b *entry.Pinned) string {
	what := "a spot to know of"
	switch b.What {
	case entry.PinnedThin:
		what = "a thin spot"
	case entry.PinnedBlockedRow:
		what = "a blocked row"
	case entry.PinnedStone:
		what = "a stone"
	}
	if !b.Ground.IsZero() {
		what += " on " + s.name(b.Ground)
	}
	if b.Row > 0 {
		what += ", row " + strconv.FormatInt(b.Row, 10)
	}
	if b.Length > 0 {
		what += ", " + b.Length.As(b.LengthIn, s.system()) + " long"
	}
	if b.Width > 0 {
		what += ", " + b.Width.As(b.WidthIn, s.system()) + " wide"
	}
	return what + placeText(b)
}

// placeText is latitude and longitude as people write them, in degrees, and how
// far off they may be, in metres.
func placeText(b *entry.Pinned) string {
	if !b.Latitude.Set {
		return ""
	}
	text := ", at " + degrees(b.Latitude.Val) + " " + degrees(b.Longitude.Val)
	if b.Accuracy > 0 {
		text += " within " + decimal(int64(b.Accuracy)/1000) + " m"
	}
	return text
}

// degrees writes ten-millionths of a degree.
func degrees(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	text := fmt.Sprintf("%s%d.%07d", sign, n/10_000_000, n%10_000_000)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}
