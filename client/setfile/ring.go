package setfile

import (
	"strconv"
	"strings"

	"turnrow/sync/entry"
)

// ringsText is a boundary as the farm's view shows it: corners parted by
// commas, rings by semicolons.
func ringsText(rings []entry.Ring) string {
	texts := make([]string, len(rings))
	for i, r := range rings {
		numbers := make([]string, len(r))
		for j, v := range r {
			numbers[j] = strconv.FormatInt(v, 10)
		}
		texts[i] = strings.Join(numbers, ",")
	}
	return strings.Join(texts, ";")
}
