package pdf

import (
	"math"

	"brushfall/internal/wording"
)

// scale is how large a picture is printed: so many mm on paper for so many of the design.
type scale struct{ paper, design float64 }

func (s scale) of() float64 { return s.paper / s.design }

// in gives "1:2.5" as drawings have it (ISO 5455), in figures of a language.
func (s scale) in(v wording.Voice) string {
	return v.Decimal(s.paper, 1) + ":" + v.Decimal(s.design, 1)
}

// scales are those that a ruler can be read at, the largest first: ISO 5455 has 5:1, 2:1,
// 1:1, 1:2, 1:5, 1:10 and so on; the others lie between them.
func scales() []scale {
	return []scale{{5, 1}, {2, 1}, {1, 1}, {1, 1.5}, {1, 2}, {1, 2.5}, {1, 3}, {1, 4}, {1, 5}, {1, 6}, {1, 8}, {1, 10}, {1, 15}, {1, 20}}
}

// pictureScale gives the largest scale at which a picture of so many mm across is not
// wider than the room; false where it has no size or is larger than any holds.
func pictureScale(room, across float64) (scale, bool) {
	for _, s := range scales() {
		if across > 0 && across*s.of() <= room {
			return s, true
		}
	}
	return scale{}, false
}

// leastPictureRoom is how much room beside the ticket's margin the picture and the words
// below it have at least, in mm.
const leastPictureRoom = 70.0

// barShows gives how much of the design a bar shows, in mm: as much as is no longer
// than barLength on paper.
func barShows(s scale) float64 {
	best := 5.0
	for _, mm := range []float64{10, 20, 50, 100, 200} {
		if mm*s.of() <= barLength {
			best = mm
		}
	}
	return best
}

// pictureBar prints the bar of the ticket's picture, which is so wide, and says its scale.
func (p *page) pictureBar(s scale, y, width float64) {
	p.bar(y+3, barShows(s)*s.of())
	p.lines(margin, y+8.4, p.scaleLines(s, width), scaleLeading)
}

const scaleLeading = 3.8

// pictureBarHeight gives the height of pictureBar.
func (p *page) pictureBarHeight(s scale, width float64) float64 {
	return 8.4 + scaleLeading*float64(len(p.scaleLines(s, width)))
}

// scaleLines say the scale, and of what the bar is the length.
func (p *page) scaleLines(s scale, width float64) []string {
	shows := p.v.Millimetres(barShows(s))
	text := p.v.Say("Scale %s: the bar is %s of the design.", s.in(p.v.Voice), shows)
	if s.of() == 1 {
		text = p.v.Say("True size when printed at 100 %%: the bar is %s.", shows)
	}
	p.style(false, 8.5, ink)
	return p.wrapped(text, math.Max(leastPictureRoom, width))
}
