package trial

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Sheet says how the contact sheet is drawn; lengths are pixels.
type Sheet struct {
	Setting int // by its place in Settings
	Columns int
	Cell    float64 // side of the square that a shape is fitted into
	Steps   bool    // draw the steps of rims and spines, coloured by their length
}

// The paper below each shape, and the widths around it, in pixels.
const (
	captionHeight = 64
	cellMargin    = 8
	lineHeight    = 13
	letterWidth   = 6.1 // of the captions' letters, about
)

// tint gives the colours of stones by their role.
func tint(r design.Role) string {
	switch r {
	case design.RoleRim:
		return "#1d4f91"
	case design.RoleSpine:
		return "#c2571a"
	}
	return "#5aa68f"
}

// Write draws every trial of the setting as SVG 1.1: outline in grey, stones in
// a tint for each role, findings ringed in red, and below it the name, the
// number of stones and what is missed.
func (s Sheet) Write(w io.Writer, trials []Trial) error {
	out := bufio.NewWriter(w)
	columns := max(1, min(s.Columns, len(trials)))
	rows := (len(trials) + columns - 1) / columns
	width := float64(columns) * (s.Cell + 2*cellMargin)
	height := float64(rows) * (s.Cell + captionHeight + 2*cellMargin)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%.0f" font-family="DejaVu Sans, sans-serif" font-size="10">`+"\n", width, height)
	fmt.Fprintln(out, `<rect width="100%" height="100%" fill="#fff"/>`)
	for i := range trials {
		x := float64(i%columns)*(s.Cell+2*cellMargin) + cellMargin
		y := float64(i/columns)*(s.Cell+captionHeight+2*cellMargin) + cellMargin
		fmt.Fprintf(out, `<g transform="translate(%.0f %.0f)">`+"\n", x, y)
		s.drawShape(out, &trials[i])
		s.caption(out, &trials[i])
		fmt.Fprintln(out, "</g>")
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

// drawShape fits the shape into its square.
func (s Sheet) drawShape(w io.Writer, t *Trial) {
	l := &t.Laid[s.Setting]
	b := t.Case.Area.Bounds().Grow(t.Case.Diameter / 2)
	k := s.Cell / math.Max(b.Width(), b.Height())
	fmt.Fprintf(w, `<g transform="translate(%.2f %.2f) scale(%.4f) translate(%.3f %.3f)">`+"\n",
		(s.Cell-k*b.Width())/2, (s.Cell-k*b.Height())/2, k, -b.MinX, -b.MinY)
	fmt.Fprintf(w, `<path d="%s" fill="#e3e3e3" stroke="#999" stroke-width="%.3f"/>`+"\n", pathData(t.Case.Area), 0.8/k)
	for _, st := range l.Stones {
		fmt.Fprintf(w, `<circle cx="%.3f" cy="%.3f" r="%.3f" fill="%s"/>`+"\n", st.X, st.Y, t.Case.Diameter/2, tint(st.Role))
	}
	if s.Steps {
		drawSteps(w, t, l)
	}
	for _, f := range slices.Concat(l.Broken, l.Places) {
		fmt.Fprintf(w, `<circle cx="%.3f" cy="%.3f" r="%.3f" fill="none" stroke="#e00" stroke-width="%.3f"/>`+"\n", f.X, f.Y, t.Case.Diameter*0.8, 2/k)
	}
	fmt.Fprintln(w, "</g>")
}

func pathData(s geom.Shape) string {
	var d strings.Builder
	for _, r := range s.Rings {
		for i, p := range r {
			fmt.Fprintf(&d, "%c%.2f %.2f", "ML"[min(i, 1)], p.X, p.Y)
		}
		d.WriteByte('Z')
	}
	return d.String()
}

// drawSteps joins the stones that follow each other in a row, white where the
// step is a pitch or up to a tenth more, yellow up to a quarter more, red above.
func drawSteps(w io.Writer, t *Trial, l *Laid) {
	p := t.Case.Pitch()
	for i := 1; i < len(l.Stones); i++ {
		a, b := l.Stones[i-1], l.Stones[i]
		step := math.Hypot(a.X-b.X, a.Y-b.Y) / p
		if a.Role != b.Role || a.Role == design.RoleBed || step > 2 {
			continue
		}
		colour := "#fff"
		if step > 1.25 {
			colour = "#f22"
		} else if step > loosest {
			colour = "#fd0"
		}
		fmt.Fprintf(w, `<path d="M%.3f %.3fL%.3f %.3f" stroke="%s" stroke-width="%.3f"/>`+"\n", a.X, a.Y, b.X, b.Y, colour, p/12)
	}
}

// caption writes some lines below the square: red what is missed.
func (s Sheet) caption(w io.Writer, t *Trial) {
	l := &t.Laid[s.Setting]
	y := s.Cell + lineHeight
	line := func(colour, text string) {
		fmt.Fprintf(w, `<text x="0" y="%.1f" fill="%s">%s</text>`+"\n", y, colour, escaped(text))
		y += lineHeight
	}
	line("#000", t.Case.Name())
	line("#555", fmt.Sprintf("%d stones, best honeycomb %d", len(l.Stones), t.Honeycomb))
	missed := t.Missed(s.Setting)
	if len(missed) == 0 {
		line("#080", "all targets met")
	}
	for _, text := range wrapped(missed, int(s.Cell/letterWidth)) {
		line("#d00", text)
	}
}

// wrapped joins words to lines of the length.
func wrapped(words []string, length int) []string {
	var out []string
	for _, word := range words {
		if n := len(out) - 1; n >= 0 && len(out[n])+len(word)+2 <= length {
			out[n] += ", " + word
		} else {
			out = append(out, word)
		}
	}
	return out
}

func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a Builder takes all
	return b.String()
}
