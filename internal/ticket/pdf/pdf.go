// Package pdf prints a ticket: a first page to recognise the job and take its
// stones by, and what to do at the cutter, the tray and the press after it.
package pdf

import (
	"bytes"
	"image"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/fault"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// Paper is the size of the page.
type Paper string

// The papers.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// Options choose the paper and the date in the file's properties. The zero
// value is A4 and a fixed date, so that the same ticket gives the same bytes.
type Options struct {
	Paper   Paper
	Created time.Time
}

// undated stands in the file where no date is given.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// a4Height is the height of A4 in mm (ISO 216).
const a4Height = 297.0

// Margins of the page, in mm. The foot holds the code and the page number.
const (
	margin = 14.0
	foot   = 16.0
	gutter = 6.0 // between blocks
)

// Write prints the ticket with the picture of the design; nil
// leaves its place out. Faults: "ticket-paper" for an unknown paper,
// "ticket-picture" for a picture without pixels, "ticket-font" and
// "ticket-pdf" where the pages cannot be made, "ticket-write" where w does not
// take the bytes.
func Write(w io.Writer, t ticket.Ticket, proof image.Image, opt Options) error {
	p, err := newPage(t.Language, opt)
	if err != nil {
		return err
	}
	picture, err := p.picture(pictureName, proof)
	if err != nil {
		return err
	}
	p.properties(p.v.Say("%s: transfer ticket", t.Design), p.v.Say("Template %s", t.Code), opt)
	p.running(t.Code, t.Design)
	p.newPage()
	p.head(t)
	p.form()
	p.fitFirst(t, picture)
	p.overview(t, picture)
	p.counts(t)
	p.plates(t)
	p.fitSteps(t)
	p.steps(t)
	p.need(p.pressTable(t.Press) + p.cautionBlock(t.Cautions)) // one page to hang at the press
	p.press(t.Press)
	p.cautions(t.Cautions)
	return p.writeTo(w)
}

// writeTo makes the document whole before w gets a byte of it.
func (p *page) writeTo(w io.Writer) error {
	var out bytes.Buffer
	if err := p.f.Output(&out); err != nil {
		return fault.Wrap("ticket-pdf", err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fault.Wrap("ticket-write", err)
	}
	return nil
}

func newPage(l wording.Language, opt Options) (*page, error) {
	size := fpdf.SizeType{Wd: 210, Ht: a4Height}
	switch opt.Paper {
	case A4, "":
	case Letter:
		size = fpdf.SizeType{Wd: 215.9, Ht: 279.4}
	default:
		return nil, fault.New("ticket-paper", "", "there is no paper %q; choose a4 or letter", string(opt.Paper))
	}
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: size})
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(margin, margin, margin)
	f.SetCellMargin(0)
	f.SetCatalogSort(true)
	f.AddUTF8FontFromBytes(family, "", regular)
	f.AddUTF8FontFromBytes(family, "B", bold)
	if err := f.Error(); err != nil {
		return nil, fault.Wrap("ticket-font", err)
	}
	return &page{f: f, v: voiceOf(l), sheet: size, width: size.Wd, height: size.Ht, y: margin, shaped: shapes{}, set: densities()[0], stepSize: stepSizes()[0]}, nil
}

// properties fill in what the file says of itself.
func (p *page) properties(title, subject string, opt Options) {
	created := opt.Created
	if created.IsZero() {
		created = undated
	}
	p.f.SetCreationDate(created)
	p.f.SetModificationDate(created)
	p.f.SetTitle(printable(title), true)
	p.f.SetSubject(printable(subject), true)
	p.f.SetCreator("Brushfall", true)
	p.f.SetProducer("Brushfall", true)
	p.f.SetLang(string(p.v.Language()))
}

// pageCount stands for the number of pages until all are made.
const pageCount = "{pages}"

// running sets the foot of every page: what the paper is, and of what.
func (p *page) running(code, name string) {
	p.f.AliasNbPages(pageCount)
	p.f.SetFooterFunc(func() {
		y := p.height - 9
		p.rule(margin, y-4.5, p.inner(), faint)
		p.style(true, 8, ink)
		code := p.cropped(code, p.inner()/2)
		p.text(margin, y, code)
		indent := p.widthOf(code) + 4
		p.style(false, 8, grey)
		p.text(margin+indent, y, p.cropped(name, p.inner()-indent-40))
		before, after, _ := strings.Cut(p.v.Say("Page %d of %s", p.f.PageNo(), pageCount), pageCount)
		x := p.width - margin - p.widthOf(before+"9"+after) // the number of pages is not known yet
		p.text(x, y, before)
		p.f.Text(x+p.widthOf(before), y, pageCount)
	})
}
