package dxfin

import (
	"fmt"
	"math"
)

// foreground is the colour of index 7, which is black on a white page.
const foreground = "#000000"

// The first indices have colours of their own, 250 to 255 are greys.
var (
	firstColours = [...]string{foreground, "#ff0000", "#ffff00", "#00ff00", "#00ffff", "#0000ff", "#ff00ff", foreground, "#808080", "#c0c0c0"}
	greys        = [...]string{"#000000", "#656565", "#666666", "#999999", "#cccccc", "#ffffff"}
	// levels are the brightnesses of the pairs 0–1, 2–3 … of each ten.
	levels = [...]float64{255, 165, 127, 76, 38}
)

// indexed gives the colour of an AutoCAD colour index as "#rrggbb". From 10 to
// 249 each ten is a hue, 15° apart; the odd ones are half mixed with white. An
// index that does not exist is the foreground.
func indexed(index int) string {
	switch {
	case index < 0 || index > 255:
		return foreground
	case index < 10:
		return firstColours[index]
	case index >= 250:
		return greys[index-250]
	}
	high := levels[index%10/2]
	low := 0.0
	if index%2 == 1 {
		low = high / 2
	}
	hue := float64(index/10-1) / 4 // in sixths of the circle
	sixth := math.Floor(hue)
	up := low + (high-low)*(hue-sixth)
	down := high - (high-low)*(hue-sixth)
	r, g, b := [6]float64{high, down, low, low, up, high}, [6]float64{up, high, high, down, low, low}, [6]float64{low, low, up, high, high, down}
	i := int(sixth)
	return fmt.Sprintf("#%02x%02x%02x", int(r[i]), int(g[i]), int(b[i]))
}

// trueColour gives the colour of group 420, 0xRRGGBB.
func trueColour(v int) string { return fmt.Sprintf("#%06x", v&0xffffff) }

// colour gives what an entity is drawn with: its true colour, its index, its
// layer's (index 256 or none), or its block's (index 0).
func (e entity) colour(f *fields, l layer, byBlock string) string {
	if e.has(420) {
		return trueColour(f.whole(420, 0))
	}
	switch index := f.whole(62, 256); index {
	case 256:
		return l.colour
	case 0:
		return byBlock
	default:
		return indexed(max(index, -index))
	}
}
