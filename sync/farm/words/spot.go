package words

import (
	"fmt"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
)

func (s *Words) pinned(b *entry.Pinned) string {
	if b.Of.IsZero() {
		return s.join(s.spotText(b), b.Text)
	}
	was := "a spot"
	if of, ok := s.latest(b.Of).(*entry.Pinned); ok {
		was = s.spotText(of)
	}
	return s.join("no longer there: "+was, b.Text)
}

// spotText is what is at a spot, and where, without its text.
func (s *Words) spotText(b *entry.Pinned) string {
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
		what += " on " + s.Name(b.Ground)
	}
	if b.Row > 0 {
		what += ", row " + strconv.FormatInt(b.Row, 10)
	}
	if b.Length > 0 {
		what += ", " + b.Length.As(b.LengthIn, s.System()) + " long"
	}
	if b.Width > 0 {
		what += ", " + b.Width.As(b.WidthIn, s.System()) + " wide"
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
		text += " within " + thing.Decimal(int64(b.Accuracy)/1000) + " m"
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
