package sheet

import (
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"turnrow/sync/units"
)

// Measures of a page in millimetres, and of type in points.
const (
	marginSide   = 14.0
	marginTop    = 13.0
	marginBottom = 18.0 // with the foot in it
	titleSize    = 16.0
	sectionSize  = 12.0
	bodySize     = 9.0
	smallSize    = 7.0
	leading      = 1.3 // from line to line, against the size of type
	family       = "go"
)

// PDF writes a document as pages: Letter where it is in US units, A4 where it
// is in metric ones. Text can be selected, searched and read aloud. Letters
// that the built-in typeface lacks (it has Latin, Greek and Cyrillic) show as
// an empty box; the page and the spreadsheet have them.
//
// The same document gives the same bytes.
func PDF(w io.Writer, d *Document) error {
	p := newPress(d)
	p.head()
	for i := range d.Sections {
		p.section(&d.Sections[i])
	}
	p.cautions()
	return p.pdf.Output(w)
}

// press sets a document on pages.
type press struct {
	d             *Document
	pdf           *fpdf.Fpdf
	letters       *alphabet
	width, height float64 // of a page
	y             float64 // where the next thing goes
}

func newPress(d *Document) *press {
	size := fpdf.PageSizeLetter
	if d.System == units.Metric {
		size = fpdf.PageSizeA4
	}
	p := &press{d: d, pdf: fpdf.New(fpdf.OrientationPortrait, fpdf.UnitMillimeter, size, ""), letters: newAlphabet(goregular.TTF)}
	f := p.pdf
	f.AddUTF8FontFromBytes(family, "", goregular.TTF)
	f.AddUTF8FontFromBytes(family, "B", gobold.TTF)
	f.SetTitle(d.Farm+": "+d.Title, true)
	f.SetCreator("turnrow", true)
	f.SetProducer("turnrow", true)
	f.SetLang("en")
	f.SetCreationDate(d.Made.In(time.UTC))
	f.SetModificationDate(d.Made.In(time.UTC))
	f.SetCatalogSort(true)
	f.SetAutoPageBreak(false, 0)
	f.SetCellMargin(0)
	f.AliasNbPages("")
	f.SetFooterFunc(p.foot)
	p.width, p.height = f.GetPageSize()
	p.page()
	return p
}

// room is the width that text may take.
func (p *press) room() float64 { return p.width - 2*marginSide }

func (p *press) bottom() float64 { return p.height - marginBottom }

func (p *press) page() {
	p.pdf.AddPage()
	p.y = marginTop
}

// need starts a new page where there is less room left than this.
func (p *press) need(height float64) {
	if p.y+height > p.bottom() {
		p.page()
	}
}

func (p *press) font(style string, size float64) { p.pdf.SetFont(family, style, size) }

func (p *press) colour(c pen) {
	p.pdf.SetTextColor(c.r, c.g, c.b)
	p.pdf.SetDrawColor(c.r, c.g, c.b)
	p.pdf.SetFillColor(c.r, c.g, c.b)
	p.pdf.SetLineWidth(c.width)
}

// lineHeight is the height of a line of type of a size.
func lineHeight(size float64) float64 { return size * mmPerPoint * leading }

// put writes one line of text with its left end, middle or right end at x.
func (p *press) put(x, base float64, a anchor, text string) {
	switch a {
	case centred:
		x -= p.pdf.GetStringWidth(text) / 2
	case fromRight:
		x -= p.pdf.GetStringWidth(text)
	}
	p.pdf.Text(x, base, text)
}

// paragraph writes text over the whole width, from page to page.
func (p *press) paragraph(text, style string, size, indent float64) {
	p.font(style, size)
	h := lineHeight(size)
	for _, line := range p.wrap(text, p.room()-indent) {
		p.need(h)
		p.font(style, size)
		p.put(marginSide+indent, p.y+size*mmPerPoint, fromLeft, line)
		p.y += h
	}
}

func (p *press) head() {
	p.colour(ratePen)
	p.paragraph(p.d.Farm, "B", bodySize+1, 0)
	p.colour(ink)
	p.paragraph(p.d.Title, "B", titleSize, 0)
	p.y += 1
	for _, f := range p.d.FactPairs() {
		p.paragraph(f[0]+": "+f[1], "", bodySize, 0)
	}
}

// keepWithHeading is the room that a heading wants with a sentence below it,
// so that it does not stand alone at the foot of a page.
const keepWithHeading = 20.0

func (p *press) section(s *Section) {
	room := keepWithHeading
	if len(s.Lines) == 0 && len(s.Tables) > 0 {
		room += p.beginning(p.set(s.Tables[0]))
	}
	p.need(min(room, p.bottom()-marginTop))
	p.y += 5
	p.pdf.Bookmark(p.letters.known(s.Title), 0, p.y)
	p.colour(ink)
	p.paragraph(s.Title, "B", sectionSize, 0)
	p.colour(ratePen)
	p.pdf.Line(marginSide, p.y+0.5, p.width-marginSide, p.y+0.5)
	p.colour(ink)
	p.y += 2.5
	for _, l := range s.Lines {
		p.paragraph(l, "", bodySize, 0)
	}
	for _, t := range s.Tables {
		p.table(t, s.Title)
	}
	p.pictures(s.Pictures)
}

func (p *press) cautions() {
	p.need(keepWithHeading)
	p.y += 6
	p.colour(aimPen)
	p.pdf.Line(marginSide, p.y, p.width-marginSide, p.y)
	p.y += 2
	p.colour(ink)
	p.pdf.Bookmark("Cautions", 0, p.y)
	p.paragraph("Cautions", "B", sectionSize, 0)
	for _, c := range p.d.Cautions {
		p.need(lineHeight(bodySize))
		p.font("", bodySize)
		p.put(marginSide, p.y+bodySize*mmPerPoint, fromLeft, "•")
		p.paragraph(c, "", bodySize, 4)
		p.y += 0.6
	}
}

// foot stands at the end of every page.
func (p *press) foot() {
	p.colour(ink)
	p.font("", smallSize)
	y := p.height - 13
	p.put(marginSide, y, fromLeft, p.letters.known(p.d.Farm+": "+p.d.Title+". Made "+p.d.MadeAt()+"."))
	p.put(marginSide, y+lineHeight(smallSize), fromLeft, p.letters.known(p.d.Foot))
	p.pdf.SetXY(p.width-marginSide-30, y-3)
	p.pdf.CellFormat(30, 4, "Page "+plain(float64(p.pdf.PageNo()), 0)+" of {nb}", "", 0, "R", false, 0, "")
}
