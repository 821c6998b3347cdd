package sheet

import "strings"

// wrap breaks a text into lines that are no wider than room, in the typeface
// that is set: between words, and within a word only where it is wider alone.
func (p *press) wrap(text string, room float64) []string {
	var lines []string
	for _, part := range strings.Split(p.letters.known(text), "\n") {
		lines = append(lines, p.wrapLine(part, room)...)
	}
	return lines
}

func (p *press) wrapLine(text string, room float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if p.pdf.GetStringWidth(longer) <= room {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for p.pdf.GetStringWidth(word) > room {
			head := p.fitting(word, room)
			lines, word = append(lines, head), word[len(head):]
		}
		line = word
	}
	return append(lines, line)
}

// fitting is as much of the beginning of a word as room takes, and at least
// one letter.
func (p *press) fitting(word string, room float64) string {
	end := 0
	for i, r := range word {
		next := i + len(string(r))
		if i > 0 && p.pdf.GetStringWidth(word[:next]) > room {
			break
		}
		end = next
	}
	return word[:end]
}
