package naive

import (
	"slices"

	"turnrow/sync/entry"
)

// mayName says whether an entry may name another: one of its own device's, or
// of a device that somebody who may ever have let others in has let in.
func (f *Fold) mayName(e *entry.Entry, o *item) bool {
	by, _ := f.signer(e.Log)
	of, begins := f.signer(o.Log)
	if by == of {
		return true
	}
	first := f.byID[entry.ID{Log: begins, Seq: 1}]
	return first != nil && f.ever[f.markOf(&first.Entry)]
}

// letEver works out, by all that has taken effect, which first entries were ever
// let in: by the founding device, by those of codes on paper, and by whomever
// these made an owner or the porter, at whatever remove. No stop undoes it.
func (f *Fold) letEver() {
	f.ever = map[entry.Mark]bool{}
	lets, owners, codes := map[entry.DeviceID]bool{}, map[entry.ID]bool{}, map[entry.Key]bool{}
	for n := -1; n != len(lets)+len(owners)+len(codes)+len(f.ever); {
		n = len(lets) + len(owners) + len(codes) + len(f.ever)
		for _, it := range f.items {
			switch b := it.Body.(type) {
			case *entry.FarmFounded:
				if f.founds(it) {
					f.ever[f.markOf(&it.Entry)], lets[f.dev(it)], codes[b.Paper] = true, true, true
				}
			case *entry.Recovered:
				if it.Seq == 1 && slices.ContainsFunc(keys(codes), func(code entry.Key) bool { return f.recoversBy(it, b, code) }) {
					f.ever[f.markOf(&it.Entry)], lets[f.dev(it)], codes[b.Next] = true, true, true
				}
			case *entry.Admitted:
				if lets[f.dev(it)] && !b.Refused {
					f.ever[entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash}] = true
					if b.Porter || b.Role == entry.Owner || owners[b.Person] {
						lets[b.Device] = true
					}
				}
			case *entry.MemberChanged:
				if lets[f.dev(it)] && b.Role == entry.Owner {
					owners[b.Member] = true
				}
			case *entry.Settled:
				if who, role := f.roleChosen(it, b); lets[f.dev(it)] && role == entry.Owner {
					owners[who] = true
				}
			}
		}
	}
}

// fitting is a recovery, and a code on paper that it may fit.
type fitting struct {
	first entry.Mark
	code  entry.Key
}

// recoversBy says whether a code on paper let a device in. It is asked often.
func (f *Fold) recoversBy(it *item, b *entry.Recovered, code entry.Key) bool {
	k := fitting{f.markOf(&it.Entry), code}
	fits, asked := f.fit[k]
	if !asked {
		fits = entry.VerifyRecovery(code, f.farm, f.dev(it), b.Key, b.Next, b.Proof) == nil
		if f.fit == nil {
			f.fit = map[fitting]bool{}
		}
		f.fit[k] = fits
	}
	return fits
}

func keys[K comparable](m map[K]bool) (ks []K) {
	for k := range m {
		ks = append(ks, k)
	}
	return ks
}

// lettingIn says whether a body bears on who was ever let in.
func lettingIn(b entry.Body) bool {
	switch b.(type) {
	case *entry.FarmFounded, *entry.Recovered, *entry.Admitted, *entry.MemberChanged, *entry.Settled:
		return true
	}
	return false
}
