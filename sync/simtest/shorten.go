package simtest

import (
	"errors"
	"slices"
	"strings"
)

// Shorten takes lines out of a schedule that fails for as long as it fails the
// same way, by delta debugging (Zeller and Hildebrandt, "Simplifying and
// Isolating Failure-Inducing Input", IEEE TSE 28(2), 2002): ever smaller
// stretches are left out, until no single line can be. It gives the lines that
// are left and how they fail.
func Shorten(lines []string, err error, o Options) ([]string, error) {
	want := Rule(err)
	fails := func(ls []string) error {
		if got := Redo(ls, o); got != nil && Rule(got) == want {
			return got
		}
		return nil
	}
	if again := fails(lines); again != nil {
		err = again
	} else {
		return lines, errors.Join(err, errors.New("(this does not happen again when its lines are done again)"))
	}
	for size := len(lines) / 2; size > 0; {
		taken := false
		for at := 0; at+size <= len(lines); {
			less := slices.Delete(slices.Clone(lines), at, at+size)
			if got := fails(less); got != nil {
				lines, err, taken = less, got, true
			} else {
				at += size
			}
		}
		if size == 1 && !taken {
			break
		}
		size = max(1, min(size/2, len(lines)/2))
	}
	return lines, err
}

// Rule tells ways of failing apart: by the rule that is broken.
func Rule(err error) string {
	text := err.Error()
	for _, rule := range []string{"rule 1", "rule 2", "rule 3", "rule 4", "rule 5", "rule 6", "rule 7", "rule 8", "the plain fold differs"} {
		if strings.Contains(text, rule) {
			return rule
		}
	}
	return "other"
}
