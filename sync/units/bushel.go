package units

import "strings"

// takeBushel takes the weight of a bushel that a text gives beside its amount
// ("0.4 bu/ac at 36 lb/bu"), which stands above any that is known. It gives
// the text without it.
func (r *reader) takeBushel(s string) (string, *Error) {
	amount, weight, ok := cutFold(s, " at ")
	if !ok {
		amount, weight, ok = strings.Cut(s, "@")
	}
	if !ok || r.kind != massKind && r.kind != rateKind {
		return s, nil
	}
	weight = strings.TrimSpace(weight)
	for _, end := range []string{"/bu", "/bushel", " per bu", " per bushel", " a bushel"} {
		if rest, ok := cutSuffixFold(weight, end); ok {
			weight = rest
			break
		}
	}
	m, err := ParseMass(weight)
	if err != nil || m == 0 {
		return "", r.fail("has no weight of a bushel after \"at\", such as 0.4 bu/ac at 32 lb/bu", ErrSyntax)
	}
	r.bushel = m
	return strings.TrimSpace(amount), nil
}

// BushelIn reports whether a text is an amount in bushels, or a rate in them,
// and the weight of a bushel that it gives beside it, 0 for none.
func BushelIn(text string) (own Mass, ok bool) {
	r := newReader(rateKind, text, []Option{DecimalComma()})
	s, bad := r.clean()
	if bad != nil {
		return 0, false
	}
	own, r.bushel = r.bushel, 1
	top, _, _ := splitPer(s)
	_, bad = r.sum(massKind, top)
	return own, bad == nil && r.inBushels
}

// cutFold is strings.Cut in any letter case.
func cutFold(s, sep string) (before, after string, ok bool) {
	for i := 0; i+len(sep) <= len(s); i++ {
		if strings.EqualFold(s[i:i+len(sep)], sep) {
			return s[:i], s[i+len(sep):], true
		}
	}
	return s, "", false
}

// cutSuffixFold is strings.CutSuffix in any letter case.
func cutSuffixFold(s, suffix string) (string, bool) {
	at := len(s) - len(suffix)
	if at < 0 || !strings.EqualFold(s[at:], suffix) {
		return s, false
	}
	return s[:at], true
}
