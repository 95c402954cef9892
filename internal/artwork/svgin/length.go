package svgin

import (
	"math"
	"strings"
)

// unit is the unit of a length; percentages and font-relative units wait for
// the element they are used on.
type unit int

const (
	px unit = iota
	percent
	em
	ex
	rem
)

// length is a number with a unit.
type length struct {
	v float64
	u unit
}

// mmPerPx is the size of a px: CSS Values 3 §5.2 sets 96 to the inch.
const mmPerPx = 25.4 / 96

// defaultFont is the initial font size in px, "medium" in CSS.
const defaultFont = 16

// exShare is the x-height in em where no font is known (CSS Values 3 §5.1.1).
const exShare = 0.5

// pixels holds the absolute units in px.
func pixels(name string) (float64, bool) {
	switch name {
	case "", "px":
		return 1, true
	case "in":
		return 96, true
	case "cm":
		return 96 / 2.54, true
	case "mm":
		return 96 / 25.4, true
	case "q":
		return 96 / 101.6, true
	case "pt":
		return 96.0 / 72, true
	case "pc":
		return 16, true
	}
	return 0, false
}

// parseLength reads a length; anything after it but white space is a fault.
func parseLength(s string) (length, bool) {
	c := scanner{s: s}
	c.space()
	l, ok := c.length()
	c.space()
	return l, ok && c.done()
}

func (c *scanner) length() (length, bool) {
	v, ok := c.number()
	if !ok {
		return length{}, false
	}
	if c.peek() == '%' {
		c.i++
		return length{v, percent}, true
	}
	name := strings.ToLower(c.word())
	switch name {
	case "em":
		return length{v, em}, true
	case "ex":
		return length{v, ex}, true
	case "rem":
		return length{v, rem}, true
	}
	k, ok := pixels(name)
	return length{v * k, px}, ok
}

// side says what a percentage is a share of.
type side int

const (
	across   side = iota // the viewport's width
	down                 // its height
	diagonal             // its diagonal ÷ √2
)

// frame is what lengths are measured against: the nearest viewport in user
// units, and the font sizes in px.
type frame struct {
	w, h       float64
	font, root float64
}

// px gives a length in user units.
func (f frame) px(l length, s side) float64 {
	switch l.u {
	case percent:
		switch s {
		case across:
			return l.v / 100 * f.w
		case down:
			return l.v / 100 * f.h
		}
		return l.v / 100 * math.Hypot(f.w, f.h) / math.Sqrt2
	case em:
		return l.v * f.font
	case ex:
		return l.v * f.font * exShare
	case rem:
		return l.v * f.root
	}
	return l.v
}
