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
func Shorten(lines []string, err error, disks func(place string) Disk) ([]string, error) {
	want := sortOf(err)
	fails := func(ls []string) error {
		if got := Redo(ls, disks, false); got != nil && sortOf(got) == want {
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

// sortOf tells ways of failing apart: the rule, or the words up to the first
// figure.
func sortOf(err error) string {
	text := err.Error()
	for _, rule := range []string{"rule 1", "rule 2", "rule 3", "rule 4", "rule 5", "the plain fold differs"} {
		if strings.Contains(text, rule) {
			return rule
		}
	}
	return "other"
}
