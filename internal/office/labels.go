package office

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"image/png"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/boombuler/barcode/qr"

	"brushfall/internal/catalogue"
	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/shop"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/unit"
)

// LabelSheet says how the labels of templates lie on a page, as someone writes it: Grid
// "3x8", Label, Corner and Step two lengths, "70x36mm". What is empty is usual: labels of
// 70 × 36 mm side by side, as many as the page holds, in its middle. First is the number
// of the first label that is printed, from 1. Outline draws their edges; EachPlate makes
// a label for each plate.
type LabelSheet struct {
	Grid, Label, Corner, Step string
	First                     int
	Outline, EachPlate        bool
}

// Labelled is what labels are made from.
type Labelled interface {
	shop.Templates
	shop.Catalogue
}

// PrintLabels writes the labels of templates of the book, in the order of their codes as
// typed. Faults: "usage" for a sheet that cannot be, those of shop.Templates.
func PrintLabels(ctx context.Context, w io.Writer, b Labelled, codes []string, s LabelSheet, p Print) error {
	labels := ticket.Labels{Language: p.Spoken(), Outline: s.Outline, First: s.First - 1}
	var err error
	if labels.Grid, err = s.grid(p.Paper); err != nil {
		return err
	}
	if labels.Labels, err = templateLabels(ctx, b, codes, s.EachPlate); err != nil {
		return err
	}
	return pdf.WriteLabels(w, labels, p.Options())
}

// UsualLabel is the label of the most common sheets.
const UsualLabel = "70x36mm"

// grid reads how the labels lie.
func (s LabelSheet) grid(paper job.Paper) (ticket.LabelGrid, error) {
	g := ticket.LabelGrid{Columns: 3, Rows: 8, PageWidth: 210, PageHeight: 297}
	if paper == job.Letter {
		g.Rows, g.PageWidth, g.PageHeight = 7, 215.9, 279.4
	}
	if s.Label == "" {
		s.Label = UsualLabel
	}
	var err error
	if g.Width, g.Height, err = pair("--label", s.Label); err != nil {
		return g, err
	}
	if s.Grid != "" {
		across, down, _ := strings.Cut(s.Grid, "x")
		g.Columns, err = strconv.Atoi(across)
		if err == nil {
			g.Rows, err = strconv.Atoi(down)
		}
		if err != nil {
			return g, fault.New("usage", "--grid", "%q is no grid; write labels across and down, such as 3x8", s.Grid)
		}
	}
	g.StepX, g.StepY = g.Width, g.Height
	if s.Step != "" {
		if g.StepX, g.StepY, err = pair("--step", s.Step); err != nil {
			return g, err
		}
	}
	g.Left = max(0, (g.PageWidth-float64(g.Columns-1)*g.StepX-g.Width)/2)
	g.Top = max(0, (g.PageHeight-float64(g.Rows-1)*g.StepY-g.Height)/2)
	if s.Corner != "" {
		g.Left, g.Top, err = pair("--corner", s.Corner)
	}
	return g, err
}

// pair reads "70x36mm": two lengths, the first in the unit of the second where it
// says none.
func pair(flag, text string) (float64, float64, error) {
	one, other, ok := strings.Cut(text, "x")
	second, err := unit.ParseClearance(other)
	if ok && err == nil {
		if strings.Trim(one, "0123456789. ") == "" {
			one += strings.TrimLeft(other, "0123456789. ")
		}
		var first unit.Length
		if first, err = unit.ParseClearance(one); err == nil {
			return first.MM(), second.MM(), nil
		}
	}
	return 0, 0, fault.New("usage", flag, "%q are no two lengths; write them as 70x36mm", text)
}

// templateLabels makes the labels of templates, in the order of their codes as typed.
func templateLabels(ctx context.Context, b Labelled, codes []string, plates bool) ([]ticket.Label, error) {
	colours, err := b.Colours(ctx)
	if err != nil {
		return nil, err
	}
	stones := shop.StonesOf(colours)
	var out []ticket.Label
	for _, typed := range codes {
		t, err := b.Template(ctx, typed)
		if err != nil {
			return nil, err
		}
		picture, err := TemplatePicture(ctx, b, t)
		if err != nil {
			return nil, err
		}
		l, err := labelOf(stones, t, picture)
		if err != nil {
			return nil, err
		}
		if !plates {
			out = append(out, l)
			continue
		}
		each, err := plateLabels(ctx, b, stones, t, l)
		if err != nil {
			return nil, err
		}
		out = append(out, each...)
	}
	return out, nil
}

// plateLabels makes of the label of a template one for each plate, with the stones
// that are brushed into it, by the layout that the book keeps.
func plateLabels(ctx context.Context, b shop.Templates, known catalogue.Stones, t shop.TemplateSet, l ticket.Label) ([]ticket.Label, error) {
	made, err := MadeOfTemplate(ctx, b, t.Code)
	if err != nil {
		return nil, err
	}
	doc := made.Document
	var out []ticket.Label
	for _, p := range doc.Plates {
		one := l
		one.Plate = p.Number
		stones := slices.DeleteFunc(slices.Clone(doc.Stones), func(s design.Stone) bool { return s.Plate != p.Number })
		lines, err := count.Tally(stones, doc.Kinds, count.DefaultSpare)
		if err != nil {
			return nil, placed(t.Code, err)
		}
		one.Kinds = nil
		for _, c := range lines {
			one.Kinds = append(one.Kinds, brushOf(known, shop.Kind{Size: c.Size, Colour: c.Colour}, c.Pieces))
		}
		out = append(out, one)
	}
	return out, nil
}

// brushOf is a line of a label.
func brushOf(stones catalogue.Stones, k shop.Kind, pieces int) ticket.Brush {
	row := ticket.Brush{Size: k.Size, Colour: k.Colour, Pieces: pieces}
	if c, err := stones.FindColour(k.Colour); err == nil {
		row.Swatch = ticket.Swatch{Hex: c.Hex, AB: c.Finish == catalogue.AB}
	}
	return row
}

// labelOf puts a template on a label.
func labelOf(stones catalogue.Stones, t shop.TemplateSet, picture []byte) (ticket.Label, error) {
	l := ticket.Label{Code: t.Code, Design: t.Design, Size: ticket.Area(t.Width, t.Height, unit.Millimetre), Plates: t.Plates, Place: t.Place}
	if t.Customer != "" {
		l.Added = []string{t.Customer}
	}
	for _, k := range t.Kinds {
		l.Kinds = append(l.Kinds, brushOf(stones, k.Kind, k.Pieces))
	}
	var err error
	if l.QR, err = modules(t.Code); err != nil {
		return l, err
	}
	if picture == nil {
		return l, nil
	}
	img, err := jpeg.Decode(bytes.NewReader(picture))
	if err != nil {
		return l, fault.Wrap("picture", fmt.Errorf("the picture of %s: %w", t.Code, err))
	}
	var small bytes.Buffer
	if err := png.Encode(&small, img); err != nil {
		return l, fault.Wrap("picture", err)
	}
	l.Image = small.Bytes()
	return l, nil
}

// modules gives the QR code of a text (ISO/IEC 18004), rows of modules without the
// quiet zone. At level H a template's code still goes into the smallest, of 21 × 21
// modules, and is read with up to 30 % of it lost.
func modules(text string) ([][]bool, error) {
	code, err := qr.Encode(text, qr.H, qr.AlphaNumeric)
	if err != nil {
		return nil, fault.Wrap("qr", err)
	}
	size := code.Bounds().Size()
	out := make([][]bool, size.Y)
	for y := range out {
		out[y] = make([]bool, size.X)
		for x := range out[y] {
			r, _, _, _ := code.At(x, y).RGBA()
			out[y][x] = r == 0
		}
	}
	return out, nil
}
