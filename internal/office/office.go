// Package office is where the shop's book and the pipeline meet: made designs are
// priced, quoted and entered as templates, and the shop's papers are printed. The
// commands and the page both call it, so that they give the same quotes and the same
// bytes. It keeps nothing itself: the book is a Book, papers go to an io.Writer, and
// the time is an argument.
//
// Its faults are those of the packages that it joins, and: "price-blank", "price-list",
// "price-unset" (a paper without a currency), "quote-answered" (an order sheet of a
// quote that is not taken), "template", "picture", "buy-list", "date".
package office

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// Book is the whole of the shop's book.
type Book interface {
	shop.Book
	shop.Catalogue
	shop.Customers
	shop.Designs
	shop.Jobs
	shop.Templates
	shop.Prices
	shop.Quotes
}

// LayoutName is the file that a made design is known by.
const LayoutName = "layout.json"

// Made is a made design: its document, and the bytes of the layout.json that it was
// read from.
type Made struct {
	Document design.Document
	Layout   []byte
}

// ReadMade reads a layout.json. Faults as of design.Read.
func ReadMade(layout []byte) (Made, error) {
	doc, err := design.Read(bytes.NewReader(layout))
	return Made{doc, layout}, err
}

// Design gives what the book keeps of the design: what a transfer takes, and the
// SHA-256 of the layout. It is called name where the document has no name. Its template
// has no picture; SetPicture gives it one.
func (m Made) Design(name string) (shop.Design, error) {
	sum := sha256.Sum256(m.Layout)
	out := shop.Design{Name: name, Digest: hex.EncodeToString(sum[:])}
	var err error
	if out.Stones, err = m.stones(); err != nil {
		return out, err
	}
	doc := m.Document
	if doc.Design != "" {
		out.Name = doc.Design
	}
	out.Width, out.Height, out.Plates, out.Flock = doc.Width, doc.Height, len(doc.Plates), len(doc.Sheets)
	if len(doc.Plates) > 0 {
		f := doc.Plates[0].Frame // all have the same
		t := count.TapeFor(f[2]-f[0], f[3]-f[1])
		out.Tape = shop.Cover{PerSheet: t.PerSheet, Sheets: t.Sheets}
		n, err := TemplateOf(m, nil, func(string) ([]byte, error) { return nil, nil })
		if err != nil {
			return out, err
		}
		n.Design, n.Place = out.Name, shop.NotPutAway
		out.Template = &n
	}
	film := count.FilmFor(doc.Width, doc.Height)
	f := count.Cut(film.Width, film.Height)
	out.Film = shop.Cover{PerSheet: f.PerSheet, Sheets: f.Sheets}
	return out, nil
}

// SetPicture gives the template of a design the picture that was made with it, PNG; nil
// and a design without plates stay without. Fault "picture".
func SetPicture(d *shop.Design, proof []byte) error {
	if d.Template == nil || proof == nil {
		return nil
	}
	var err error
	d.Template.Picture, err = smallPicture(proof)
	return err
}

// PictureName is the file with the picture of a made design.
const PictureName = "proof.png"

// stones counts those of one transfer, with the usual spare ones.
func (m Made) stones() ([]shop.Stones, error) {
	lines, err := count.Tally(m.Document.Stones, m.Document.Kinds, count.DefaultSpare)
	if err != nil {
		return nil, err
	}
	var out []shop.Stones
	for _, l := range lines {
		k, err := m.kind(l)
		if err != nil {
			return nil, err
		}
		out = append(out, shop.Stones{Kind: k, Pieces: l.Pieces, Take: l.Take})
	}
	return out, nil
}

// kind gives the kind of a count. One of the shop's own is as the design has it; whether
// the book has it too is for the book to say.
func (m Made) kind(l count.Line) (shop.Kind, error) {
	for _, k := range m.Document.Kinds {
		if k.Size == l.Size && k.Colour == l.Colour && k.Shown != "" {
			return shop.OwnKind([]shop.Colour{{Name: k.Colour}}, l.Size, l.Colour, nil)
		}
	}
	return shop.NewKind(l.Size, l.Colour)
}

// MadeOfTemplate gives the design of a template by its code, from the layout that the
// book keeps of it. Fault "book-damaged" where it has none, those of shop.Templates.
func MadeOfTemplate(ctx context.Context, b shop.Templates, code string) (Made, error) {
	t, err := b.Template(ctx, code)
	if err != nil {
		return Made{}, err
	}
	files, err := b.TemplateFiles(ctx, t.ID)
	if err != nil {
		return Made{}, err
	}
	i := slices.IndexFunc(files, func(f shop.TemplateFile) bool { return f.Name == LayoutName })
	if i < 0 {
		return Made{}, fault.New("book-damaged", t.Code, "the book does not have the layout of this template; brushfall book check tells more").
			OnPage("the book does not have the layout of this template; check the book (Stock), which tells more")
	}
	m, err := ReadMade(files[i].Data)
	return m, placed(t.Code, err)
}
