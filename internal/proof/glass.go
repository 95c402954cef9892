package proof

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/catalogue"
	"brushfall/internal/geom"
)

// light is a linear-light colour.
type light [3]float64

func (a light) add(b light) light            { return light{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a light) mul(k float64) light          { return light{a[0] * k, a[1] * k, a[2] * k} }
func (a light) times(b light) light          { return light{a[0] * b[0], a[1] * b[1], a[2] * b[2]} }
func (a light) mix(b light, t float64) light { return a.mul(1 - t).add(b.mul(t)) }

// glass paints one turned stone. All figures of the model are chosen by eye:
// a picture has to look like the stones, not to measure them.
type glass struct {
	body   light
	finish catalogue.Finish
	turn   float64 // radians
	glint  float64 // how strongly this stone catches the lamp
}

// newGlass makes the paint of a colour at one of the turns. A colour whose hex
// cannot be read is drawn as clear glass.
func newGlass(of look, turn int) glass {
	body := light{0.8, 0.84, 0.88}
	if hex, err := colorful.Hex(of.hex); err == nil {
		body[0], body[1], body[2] = hex.LinearRgb()
	}
	share := float64(turn) / turns
	// 7 has no factor in common with turns, so that every strength occurs.
	return glass{body, of.finish, share * 2 * math.Pi / folds, 0.55 + 0.75*math.Mod(share*7, 1)}
}

// shade gives the light from the point p of the unit disc.
func (g glass) shade(p geom.Point) light {
	f := facetAt(p, g.turn)
	gloss := lamp(mirror(f.normal)) // what the facet's face mirrors
	inner := g.inside(p, f.normal)  // what is seen through it
	shine := white.mul(gloss * gloss * g.glint)
	out := light{}
	switch g.finish {
	case catalogue.Metal:
		out = g.body.mul(0.30 + 0.35*inner + 1.5*gloss).add(shine.mul(0.5))
	case catalogue.Opaque:
		out = g.body.mul(0.45 + 0.5*gloss).add(shine.mul(0.4))
	case catalogue.Opal:
		out = g.body.mul(0.66 + 0.3*inner).add(rainbow(f.azimuth + 2).mul(0.07)).add(shine.mul(0.3))
	case catalogue.AB:
		film := rainbow(2*f.azimuth + 5*p.Y + 3*p.X + g.glint)
		out = g.body.times(film.mix(white, 0.3)).mul(0.10 + 1.25*inner).add(film.mul(0.5 * gloss * g.glint)).add(shine.mul(0.4))
	default:
		out = g.body.mul(0.07 + 1.4*inner).add(shine.mul(0.7))
	}
	girdle := 1 - 0.5*smooth((p.Len()-0.86)/0.14) // its edge is dark
	return out.mul(girdle).add(g.spark(p))
}

// spark gives the small image of the window that the table mirrors.
func (g glass) spark(p geom.Point) light {
	q := p.Sub(geom.Point{X: -0.24, Y: -0.28})
	across, along := (q.X-q.Y)/math.Sqrt2, (q.X+q.Y)/math.Sqrt2
	return white.mul(0.75 * g.glint * smooth(1.6-math.Hypot(across/0.17, along/0.10)))
}

// inside gives the brightness of what is seen through a facet: the foiled back,
// folded like a fan, looked at askew where the facet is tilted.
func (g glass) inside(p geom.Point, n normal) float64 {
	const bend = 0.42 // how far a tilted facet moves the picture of the back
	q := geom.Point{X: p.X - bend*n.x, Y: p.Y - bend*n.y}
	angle := math.Atan2(q.Y, q.X) - g.turn
	const fans = 2 * folds
	fan := math.Floor(angle / (2 * math.Pi) * fans)
	mid := (fan+0.5)*2*math.Pi/fans + g.turn
	tilt, fold := 0.62, 1.0
	if math.Mod(math.Abs(fan), 2) == 1 {
		tilt, fold = 0.40, 0.42
	}
	seen := lamp(mirror(tilted(mid+math.Pi, tilt)))
	deep := 1 - 0.3*smooth(1-q.Len()/0.5) // the middle of the back is deepest
	return clip((0.20 + 1.2*seen) * fold * deep)
}

// white is the light of the window.
var white = light{1, 1, 1}

// rainbow gives the colour of an iridescent film along its cycle of 2π:
// rose, gold, green, blue.
func rainbow(phase float64) light {
	return light{
		0.62 + 0.38*math.Cos(phase),
		0.62 + 0.34*math.Cos(phase-2.2),
		0.70 + 0.30*math.Cos(phase-4.0),
	}
}
