package geom

import "math"

// mostDashes bounds the dashes of one line; a finer pattern is drawn solid, as no
// eye and no blade could tell the dashes apart.
const mostDashes = 100_000

// pattern gives the dash lengths, an odd list twice over; nil for a solid line.
func (s *StrokeStyle) pattern() []float64 {
	sum := 0.0
	for _, d := range s.Dash {
		if !(d >= 0 && d <= farthest) {
			return nil
		}
		sum += d
	}
	if !(sum > 0) || !(math.Abs(s.DashOffset) <= farthest) {
		return nil
	}
	if len(s.Dash)%2 == 1 {
		return append(append([]float64(nil), s.Dash...), s.Dash...)
	}
	return s.Dash
}

// dash is a drawn stretch of a line, by length from its start.
type dash struct{ from, to float64 }

// spans gives the drawn stretches of a line of the given length; nil, false if they
// are too many.
func spans(pattern []float64, offset, length float64) ([]dash, bool) {
	sum := 0.0
	for _, d := range pattern {
		sum += d
	}
	if length/sum*float64(len(pattern)) > mostDashes {
		return nil, false
	}
	at := -math.Mod(offset, sum)
	if at > 0 {
		at -= sum
	}
	var out []dash
	for i := 0; at < length; i = (i + 1) % len(pattern) {
		to := at + pattern[i]
		if i%2 == 0 && to >= 0 && (to > 0 || at == to) {
			out = append(out, dash{max(at, 0), min(to, length)})
		}
		at = to
	}
	return out, true
}

// dashes draws a line in dashes.
func (p *pen) dashes(l Line, closed bool, pattern []float64) {
	path := NewPath(l, closed)
	cut, ok := spans(pattern, p.style.DashOffset, path.Length())
	if !ok || len(cut) == 1 && cut[0] == (dash{0, path.Length()}) {
		p.line(l, closed, Point{1, 0})
		return
	}
	if n := len(cut); closed && n > 1 && cut[0].from == 0 && cut[n-1].to == path.Length() {
		first := path.Between(cut[0].from, cut[0].to)
		last := path.Between(cut[n-1].from, cut[n-1].to)
		p.line(append(last, first...), false, path.Tangent(0))
		cut = cut[1 : n-1]
	}
	for _, c := range cut {
		p.line(path.Between(c.from, c.to), false, path.Tangent(c.from))
	}
}
