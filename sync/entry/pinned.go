package entry

import "turnrow/sync/units"

// Pinned notes a spot of ground that somebody should know of, or that such a
// spot is gone. The zero Of notes a new one, which the entry then names.
type Pinned struct {
	Of        ID
	Gone      bool // the spot that Of names is
	Ground    ID   // zero where none is named
	Longitude Opt[int64]
	Latitude  Opt[int64] // ten-millionths of a degree (WGS 84), as Longitude
	Accuracy  units.Length
	What      PinnedWhat
	Length    units.Length // 0 where nobody said, as with Width
	Width     units.Length
	Row       int64 // of the drill, from 1 on the left; 0 where nobody said
	Text      string
	LengthIn  units.In // as the length was written
	WidthIn   units.In // as the width was written
}

// PinnedWhat is what is at a spot.
type PinnedWhat uint8

// What may be at a spot.
const (
	PinnedNothing    PinnedWhat = iota // nobody said
	PinnedThin                         // fewer plants than around it, or none
	PinnedBlockedRow                   // a row into which no seed, or too little, went
	PinnedStone
	PinnedOther // what the text says
)

var pinnedWords = [...]string{"", "thin", "blocked row", "stone", "other"}

// String is the word for it, as people write it.
func (w PinnedWhat) String() string {
	if int(w) < len(pinnedWords) {
		return pinnedWords[w]
	}
	return "unknown"
}

// PinnedWords are the words for what may be at a spot.
func PinnedWords() []string { return pinnedWords[1:] }

// ParsePinned finds what is at a spot by its word.
func ParsePinned(word string) (PinnedWhat, bool) {
	for w := PinnedThin; w <= PinnedOther; w++ {
		if w.String() == word {
			return w, true
		}
	}
	return PinnedNothing, false
}

// Kind of the body.
func (*Pinned) Kind() Kind { return KindPinned }

// Fields of the body.
func (b *Pinned) Fields(f Fields) {
	f.Ref(1, &b.Of)
	flag(f, 2, &b.Gone)
	f.Ref(3, &b.Ground)
	f.OptInt(4, &b.Longitude.Set, &b.Longitude.Val)
	f.OptInt(5, &b.Latitude.Set, &b.Latitude.Val)
	f.Int(6, (*int64)(&b.Accuracy))
	number(f, 7, &b.What)
	f.Int(8, (*int64)(&b.Length))
	f.Int(9, (*int64)(&b.Width))
	f.Int(10, &b.Row)
	f.Text(11, &b.Text)
	f.Uint(12, (*uint64)(&b.LengthIn))
	f.Uint(13, (*uint64)(&b.WidthIn))
}

// Check the body's ranges. Where a spot that was noted is gone, nothing else is
// said of it but why.
func (b *Pinned) Check() error {
	if !b.Of.IsZero() {
		if only := (Pinned{Of: b.Of, Gone: true, Text: b.Text}); *b != only {
			return &RangeError{"spot that was noted", "given more than that it is gone", "gone, with a text at most"}
		}
		return text("text", b.Text, MaxText)
	}
	switch {
	case b.Gone:
		return &RangeError{"spot that is gone", "not named", "one that was noted"}
	case b.Longitude.Set != b.Latitude.Set:
		return &RangeError{"place", "half given", "longitude and latitude together"}
	case b.Ground.IsZero() && !b.Longitude.Set:
		return &RangeError{"where the spot is", "missing", "a piece of ground, or longitude and latitude"}
	case b.Accuracy != 0 && !b.Longitude.Set:
		return &RangeError{"accuracy", "given without a place", "beside longitude and latitude"}
	case b.What == PinnedOther && b.Text == "":
		return &RangeError{"text", "missing", "given where what is there is other"}
	}
	return first(betweenOpt("longitude", b.Longitude, -maxLongitude, maxLongitude), betweenOpt("latitude", b.Latitude, -maxLatitude, maxLatitude),
		between("accuracy", b.Accuracy, 0, MaxAccuracy), between("what is there", b.What, PinnedThin, PinnedOther),
		between("length", b.Length, 0, maxLength), between("width", b.Width, 0, maxLength), between("row", b.Row, 0, maxRow),
		text("text", b.Text, MaxText), between("units of the length", b.LengthIn, 0, units.LengthIn),
		between("units of the width", b.WidthIn, 0, units.LengthIn))
}
