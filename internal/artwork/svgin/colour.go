package svgin

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/lucasb-eyer/go-colorful"
	"golang.org/x/image/colornames"
)

// rgba is a colour in sRGB: channels 0–255, alpha 0–1.
type rgba struct {
	r, g, b uint8
	a       float64
}

func (c rgba) String() string { return fmt.Sprintf("#%02x%02x%02x", c.r, c.g, c.b) }

// parseColour reads a colour of CSS Color 3 and the hexadecimal forms with alpha
// of CSS Color 4. currentColor is not a colour here.
func parseColour(s string) (rgba, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	switch {
	case s == "":
		return rgba{}, false
	case s[0] == '#':
		return hexColour(s[1:])
	case s == "transparent":
		return rgba{}, true
	case s == "rebeccapurple": // CSS Color 4, after the list of SVG 1.1
		return rgba{0x66, 0x33, 0x99, 1}, true
	}
	if c, ok := colornames.Map[s]; ok {
		return rgba{c.R, c.G, c.B, 1}, true
	}
	c := scanner{s: s}
	name, inside, ok := c.call()
	c.space()
	if !ok || !c.done() {
		return rgba{}, false
	}
	switch name {
	case "rgb", "rgba":
		return rgbColour(inside)
	case "hsl", "hsla":
		return hslColour(inside)
	}
	return rgba{}, false
}

func hexColour(h string) (rgba, bool) {
	if len(h) == 3 || len(h) == 4 {
		long := make([]byte, 0, 8)
		for i := range len(h) {
			long = append(long, h[i], h[i])
		}
		h = string(long)
	}
	if len(h) != 6 && len(h) != 8 {
		return rgba{}, false
	}
	v, err := strconv.ParseUint(h, 16, 64)
	if err != nil {
		return rgba{}, false
	}
	alpha := 1.0
	if len(h) == 8 {
		alpha = float64(v&0xff) / 255
		v >>= 8
	}
	return rgba{uint8(v >> 16), uint8(v >> 8), uint8(v), alpha}, true
}

// component is one argument of a colour function.
type component struct {
	v       float64
	percent bool
}

// components reads three or four arguments, with commas or with spaces and '/'.
func components(s string) ([]component, bool) {
	c := scanner{s: s}
	c.space()
	var list []component
	for !c.done() {
		v, ok := c.number()
		if !ok || len(list) == 4 {
			return nil, false
		}
		part := component{v: v}
		switch {
		case c.peek() == '%':
			c.i++
			part.percent = true
		case strings.HasPrefix(c.s[c.i:], "deg"):
			c.i += len("deg")
		}
		list = append(list, part)
		c.space()
		if b := c.peek(); b == ',' || b == '/' {
			c.i++
			c.space()
		}
	}
	return list, len(list) >= 3
}

// alpha gives the fourth argument, 1 if there is none.
func alpha(list []component) float64 {
	if len(list) < 4 {
		return 1
	}
	v := list[3].v
	if list[3].percent {
		v /= 100
	}
	return min(1, max(0, v))
}

func rgbColour(inside string) (rgba, bool) {
	list, ok := components(inside)
	if !ok {
		return rgba{}, false
	}
	var ch [3]uint8
	for i := range ch {
		v := list[i].v
		if list[i].percent {
			v *= 2.55
		}
		ch[i] = uint8(math.Round(min(255, max(0, v))))
	}
	return rgba{ch[0], ch[1], ch[2], alpha(list)}, true
}

func hslColour(inside string) (rgba, bool) {
	list, ok := components(inside)
	if !ok || list[0].percent || !list[1].percent || !list[2].percent {
		return rgba{}, false
	}
	hue := math.Mod(list[0].v, 360)
	if hue < 0 {
		hue += 360
	}
	share := func(v float64) float64 { return min(1, max(0, v/100)) }
	r, g, b := colorful.Hsl(hue, share(list[1].v), share(list[2].v)).Clamped().RGB255()
	return rgba{r, g, b, alpha(list)}, true
}
