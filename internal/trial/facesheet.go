package trial

import (
	"bufio"
	"context"
	"fmt"
	"io"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// SampleText shows all of Characters, line by line.
const SampleText = "ABCDEFGHIJKLM\nNOPQRSTUVWXYZ\nabcdefghijklm\nnopqrstuvwxyz\n0123456789&!?'-"

// FaceSheet says how the sample of a face is drawn.
type FaceSheet struct {
	Text    string  // lines parted by \n
	Capital float64 // mm
	Size    catalogue.Size
	Effort  layout.Effort
	Scale   float64 // pixels per mm
}

// FaceSample is a face's text laid out.
type FaceSample struct {
	Face    string
	Drawing artwork.Drawing
	Stones  []design.Stone
}

// sampleSpacing parts the letters of a sample, in heights of a capital: each is to be
// seen by itself.
const sampleSpacing = 0.25

// Lay sets the text in a face.
func (s FaceSheet) Lay(ctx context.Context, face *lettering.Face) (FaceSample, error) {
	p := lettering.DefaultPiece(s.Text)
	p.Face, p.Height, p.Spacing, p.Leading = face.Name(), lettering.Measure{MM: s.Capital}, lettering.Measure{Share: sampleSpacing}, 1.9
	d, _, err := lettering.Compose(artwork.Drawing{}, lettering.Sheet{Pieces: []lettering.Piece{p}})
	if err != nil {
		return FaceSample{}, err
	}
	req := layout.Request{Effort: s.Effort}
	for _, r := range d.Regions {
		req.Regions = append(req.Regions, layout.Region{
			ID: r.ID, Shape: r.Shape, Lines: r.Lines, Bed: design.Comb,
			Size: s.Size.Name, Colour: colour, Diameter: s.Size.Largest, Gap: s.Size.Gap(catalogue.Web),
		})
	}
	res, err := layout.Run(ctx, req, nil)
	return FaceSample{Face: face.Name(), Drawing: d, Stones: res.Stones}, err
}

// Write draws samples one below the other as SVG 1.1: outlines in grey, stones in a
// tint for each role.
func (s FaceSheet) Write(w io.Writer, all []FaceSample) error {
	out := bufio.NewWriter(w)
	width, height := 0.0, 0.0
	for _, f := range all {
		width, height = max(width, f.Drawing.Width), height+f.Drawing.Height+s.Capital
	}
	margin := s.Capital / 2
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%.0f" font-family="DejaVu Sans, sans-serif">`+"\n", s.Scale*(width+2*margin), s.Scale*height)
	fmt.Fprintf(out, `<rect width="100%%" height="100%%" fill="#fff"/><g transform="scale(%.3f) translate(%.2f 0)">`+"\n", s.Scale, margin)
	y := 0.0
	for _, f := range all {
		fmt.Fprintf(out, `<text y="%.2f" font-size="%.2f">%s, capitals of %g mm, %s, %d stones</text>`+"\n", y+0.4*s.Capital, 0.22*s.Capital, escaped(f.Face), s.Capital, s.Size.Name, len(f.Stones))
		y += 0.7 * s.Capital
		fmt.Fprintf(out, `<g transform="translate(0 %.2f)">`+"\n", y)
		s.drawSample(out, f)
		fmt.Fprintln(out, "</g>")
		y += f.Drawing.Height + 0.3*s.Capital
	}
	fmt.Fprintln(out, "</g></svg>")
	return out.Flush()
}

func (s FaceSheet) drawSample(w io.Writer, f FaceSample) {
	for _, r := range f.Drawing.Regions {
		if !r.Open() {
			fmt.Fprintf(w, `<path d="%s" fill="#dcdcdc" stroke="#aaa" stroke-width="0.15"/>`+"\n", pathData(r.Shape))
		}
		for _, l := range r.Lines {
			fmt.Fprintf(w, `<path d="%s" fill="none" stroke="#bbb" stroke-width="0.4"/>`+"\n", lineData(l))
		}
	}
	for _, st := range f.Stones {
		fmt.Fprintf(w, `<circle cx="%.3f" cy="%.3f" r="%.3f" fill="%s"/>`+"\n", st.X, st.Y, s.Size.Largest/2, tint(st.Role))
	}
}

func lineData(l geom.Line) string {
	d := ""
	for i, p := range l {
		d += fmt.Sprintf("%c%.2f %.2f", "ML"[min(i, 1)], p.X, p.Y)
	}
	return d
}
