package rate

import (
	"fmt"

	"turnrow/sync/units"
)

// CoatingCounted says what a tag's purity is a share of, where the seed is
// coated.
type CoatingCounted int

// The ways in which tags count coating.
const (
	CoatingNotSaid CoatingCounted = iota
	CoatingIn                     // all that is in the bag: the coating is one of the parts that are not pure seed
	CoatingApart                  // the seed without its coating, which comes off first
)

// String is "in" or "apart"; "not said" for neither.
func (c CoatingCounted) String() string {
	switch c {
	case CoatingIn:
		return "in"
	case CoatingApart:
		return "apart"
	}
	return "not said"
}

// addsUp is how far from 100 % a tag's shares may add up: they are printed to a
// tenth of one per cent, and five of them are off by a quarter at most.
const addsUp = 300 // thousandths of one per cent

func whole(sum units.Share) bool { return sum >= units.Whole-addsUp && sum <= units.Whole+addsUp }

// CoatingUnclear reports a tag that does not tell whether its purity is of the
// bag with the coating or of the seed without. Only whoever holds the tag can
// say; the two live shares are far apart.
type CoatingUnclear struct {
	Tag       Tag
	In, Apart Live // the live share either way; In is 0 where the purity is too great for it
}

func (u *CoatingUnclear) Error() string {
	return fmt.Sprintf("whether the purity of %s counts the coating of %s is not known: the bag is %s live seed where purity is a share of all that is in it, "+
		"coating and all, and %s where it is a share of the seed alone; look at the tag and say which",
		partOf(u.Tag.Purity), partOf(u.Tag.Coating), percent(float64(u.In)), percent(float64(u.Apart)))
}

// CountedCoating is what the tag's purity is a share of: as somebody said, or
// as the tag's parts tell by adding up to 100 %. A tag that tells neither is a
// *CoatingUnclear. Seed without coating is CoatingIn.
//
// The Federal Seed Act's rule is CoatingIn: coating is inert matter (7 CFR
// 201.51b(f)), and pure seed, other crop, weed seed and inert matter are all of
// the sample. Where it is apart, the parts make up 100 % without the coating,
// or purity and coating come to more than there is.
func (t Tag) CountedCoating() (CoatingCounted, error) {
	rest := t.Purity + t.OtherCrop + t.WeedSeed
	switch {
	case t.Coating == 0:
		return CoatingIn, nil
	case t.Counted != CoatingNotSaid:
		return t.Counted, nil
	case t.Purity+t.Coating > units.Whole+addsUp:
		return CoatingApart, nil
	case whole(rest + t.Inert + t.Coating):
		return CoatingIn, nil
	case whole(rest+t.Inert) && t.Inert+addsUp >= t.Coating:
		return CoatingIn, nil // the coating is in the inert matter
	case whole(rest + t.Inert):
		return CoatingApart, nil
	}
	in, apart := t, t
	in.Counted, apart.Counted = CoatingIn, CoatingApart
	u := &CoatingUnclear{Tag: t}
	u.In, _ = in.Live()
	u.Apart, _ = apart.Live()
	return CoatingNotSaid, u
}

// bare is pure seed as a fraction of the seed without its coating, and kept the
// fraction of the bag that is not coating.
func (t Tag) bare() (pure, kept float64, err error) {
	counted, err := t.CountedCoating()
	if err != nil {
		return 0, 0, err
	}
	kept = 1 - t.Coating.Fraction()
	if counted == CoatingApart {
		return t.Purity.Fraction(), kept, nil
	}
	if t.Purity+t.Coating > units.Whole+addsUp {
		return 0, 0, refuse("purity", t.Purity, "at most %v, since the coating of %v counts in the same 100%%", units.Whole-t.Coating, t.Coating)
	}
	return min(1, t.Purity.Fraction()/kept), kept, nil
}
