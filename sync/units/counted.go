package units

import "strings"

// Counted is a figure with what it counts, such as 1 bag, 2.5 bags, 3 entries or
// 1,200 boxes. What is in the singular.
func Counted(figure, what string) string {
	switch {
	case figure == "1":
	case strings.HasSuffix(what, "y") && !strings.HasSuffix(what, "ay"):
		what = strings.TrimSuffix(what, "y") + "ies"
	case strings.HasSuffix(what, "x") || strings.HasSuffix(what, "ch"):
		what += "es"
	default:
		what += "s"
	}
	return figure + " " + what
}
