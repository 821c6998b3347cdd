package setfile

import (
	"fmt"
	"strconv"
	"strings"
)

// whole reads a whole number, with commas between thousands or without.
func whole(s string) (int64, error) {
	n, err := strconv.ParseInt(strings.ReplaceAll(s, ",", ""), 10, 64)
	if err != nil || n < 0 {
		return 0, fmt.Errorf("%q is not a whole number, such as 16", s)
	}
	return n, nil
}
