package sheet

import "strings"

// Measures of a table.
const (
	tableSize = 8.0 // of its type
	leastSize = 5.5 // that it is set in where it is wide
	sizeStep  = 0.5
	gutter    = 3.0 // between columns
	rowSpace  = 0.9 // above and below a row's text
	widestCol = 110.0
	// longestWord is the widest that a word keeps a column: longer ones are
	// broken.
	longestWord = 38.0
)

// setTable is a table as it is set: its texts and the widths of its columns.
type setTable struct {
	heads  []Cell
	rows   [][]Cell
	total  []Cell
	widths []float64
	size   float64
}

// set measures a table, without putting it on a page.
func (p *press) set(t *Table) *setTable {
	s := &setTable{heads: p.d.Headings(t), rows: p.d.Rows(t), total: p.d.Total(t)}
	p.measure(s)
	return s
}

func (p *press) table(t *Table, section string) {
	s := p.set(t)
	p.need(p.beginning(s))
	p.y += 2
	if t.Title != section {
		p.paragraph(t.Title, "B", bodySize, 0)
		p.y += 0.5
	}
	p.row(s, s.heads, "B", nil)
	p.rule(ink)
	for _, r := range s.rows {
		p.row(s, r, "", s.heads)
		p.rule(faint)
	}
	if s.total != nil {
		p.row(s, s.total, "B", s.heads)
		p.rule(ink)
	}
	if t.Note != "" {
		p.y += 0.8
		p.paragraph(t.Note, "", smallSize, 0)
	}
	p.y += 1.5
}

// beginning is the height of a table's title, heads and first row, which stand
// on one page if they can.
func (p *press) beginning(s *setTable) float64 {
	h := 4 + lineHeight(bodySize) + p.rowHeight(s, s.heads, "B")
	if len(s.rows) > 0 {
		h += p.rowHeight(s, s.rows[0], "")
	}
	return min(h, p.bottom()-marginTop)
}

func (p *press) rowHeight(s *setTable, cells []Cell, style string) float64 {
	_, most := p.broken(s, cells, style)
	return float64(most)*lineHeight(s.size) + 2*rowSpace
}

// broken is each cell's lines, and the most that any has.
func (p *press) broken(s *setTable, cells []Cell, style string) (lines [][]string, most int) {
	p.font(style, s.size)
	lines, most = make([][]string, len(cells)), 1
	for i, c := range cells {
		lines[i] = p.wrap(c.Text, s.widths[i]+0.01)
		most = max(most, len(lines[i]))
	}
	return lines, most
}

func (p *press) rule(c pen) {
	p.colour(c)
	p.pdf.Line(marginSide, p.y, p.width-marginSide, p.y)
	p.colour(ink)
}

// measure finds the largest type at which the longest word of every column
// finds room, and the columns' widths.
func (p *press) measure(s *setTable) {
	room := p.room() - gutter*float64(len(s.heads)-1)
	for s.size = tableSize; ; s.size -= sizeStep {
		least, want := p.columnWidths(s)
		switch {
		case sum(want) <= room:
			s.widths = spread(want, room)
			return
		case sum(least) <= room:
			s.widths = between(least, want, room)
			return
		case s.size <= leastSize:
			s.widths = scaled(least, room/sum(least))
			return
		}
	}
}

// columnWidths are the least width of each column, which is that of its
// longest word, and the width that it wants.
func (p *press) columnWidths(s *setTable) (least, want []float64) {
	least, want = make([]float64, len(s.heads)), make([]float64, len(s.heads))
	see := func(cells []Cell, style string) {
		p.font(style, s.size)
		for i, c := range cells {
			text := p.letters.known(c.Text)
			pieces := strings.Fields(text)
			if c.Solid {
				pieces = []string{text}
			}
			for _, piece := range pieces {
				least[i] = max(least[i], min(longestWord, p.pdf.GetStringWidth(piece)))
			}
			if style == "" || s.heads[i].Text != c.Text {
				want[i] = max(want[i], min(widestCol, p.pdf.GetStringWidth(text)))
			}
		}
	}
	see(s.heads, "B")
	for _, r := range s.rows {
		see(r, "")
	}
	see(s.total, "B")
	for i := range want {
		want[i] = max(want[i], least[i])
	}
	return least, want
}

func sum(list []float64) float64 {
	all := 0.0
	for _, x := range list {
		all += x
	}
	return all
}

func scaled(list []float64, by float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = x * by
	}
	return out
}

// spread gives each column the same part of what is left over.
func spread(want []float64, room float64) []float64 {
	out := make([]float64, len(want))
	for i, x := range want {
		out[i] = x + (room-sum(want))/float64(len(want))
	}
	return out
}

// between gives each column its least width and, of the rest, in proportion to
// what more it wants.
func between(least, want []float64, room float64) []float64 {
	share := (room - sum(least)) / (sum(want) - sum(least))
	out := make([]float64, len(want))
	for i := range want {
		out[i] = least[i] + share*(want[i]-least[i])
	}
	return out
}

// row sets one row, from page to page where it must; heads are set again on
// top of a new page.
func (p *press) row(s *setTable, cells []Cell, style string, heads []Cell) {
	lines, most := p.broken(s, cells, style)
	for done := 0; done < most; {
		n := p.fits(s.size, most-done)
		if n == 0 {
			p.page()
			if heads != nil {
				p.row(s, heads, "B", nil)
				p.rule(ink)
			}
			n = max(1, p.fits(s.size, most-done))
		}
		p.font(style, s.size)
		p.lines(s, cells, lines, done, n)
		done += n
	}
}

// fits is how many of so many lines go onto the page here: all of them, or
// none where a new page would take them all, or as many as there is room for.
func (p *press) fits(size float64, lines int) int {
	h := lineHeight(size)
	n := int((p.bottom() - p.y - 2*rowSpace) / h)
	page := int((p.bottom()-marginTop-2*rowSpace)/h) - 4 // less the heads
	switch {
	case n >= lines:
		return lines
	case lines <= page:
		return 0
	}
	return max(0, n)
}

func (p *press) lines(s *setTable, cells []Cell, lines [][]string, from, n int) {
	h := lineHeight(s.size)
	x := marginSide
	for i := range cells {
		for k := from; k < min(from+n, len(lines[i])); k++ {
			base := p.y + rowSpace + float64(k-from)*h + s.size*mmPerPoint
			if s.heads[i].Right {
				p.put(x+s.widths[i], base, fromRight, lines[i][k])
			} else {
				p.put(x, base, fromLeft, lines[i][k])
			}
		}
		x += s.widths[i] + gutter
	}
	p.y += float64(n)*h + 2*rowSpace
}
