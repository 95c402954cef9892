package pdf

import "brushfall/internal/ticket"

// sign draws the small drawing of a line of care into a square of the side. They are
// drawings of our own: the signs of garments' own labels are registered marks.
func (p *page) sign(which ticket.CareSign, x, y, side float64) {
	p.box(x, y, side, side, panel)
	s := sketch{p, x, y, side / 10}
	s.pen(ink, 0.55)
	p.fill(ink)
	p.f.SetLineJoinStyle("round")
	switch which {
	case ticket.SignTurn:
		s.shirt(5, 5.6, 0.85)
		s.pen(alarm, 0.6)
		p.fill(alarm)
		s.arc(5, 5.2, 1.5, 30, 300)
		s.head(5.9, 6.6, 20, 1.4)
	case ticket.SignWash:
		s.tub()
		s.pen(accent, 0.55)
		s.line(2.6, 5, 3.5, 4.3, 4.4, 5, 5.3, 4.3, 6.2, 5, 7.1, 4.3, 7.5, 4.7)
		s.line(3.6, 6.4, 4.4, 5.8, 5.3, 6.4, 6.2, 5.8)
	case ticket.SignHand:
		s.tub()
		p.fill(accent)
		s.shape("F", 5, 2, 6.4, 4.6, 5.8, 5.7, 4.2, 5.7, 3.6, 4.6)
	case ticket.SignNoSoft:
		s.shape("D", 3.6, 8.2, 3.6, 4.6, 4.4, 3.6, 4.4, 2.2, 5.8, 2.2, 5.8, 3.6, 6.6, 4.6, 6.6, 8.2)
		s.line(4.2, 5.8, 6, 5.8)
		s.crossed()
	case ticket.SignAir:
		s.line(1.2, 2.4, 8.8, 2.4)
		s.shirt(5, 5.8, 0.8)
	case ticket.SignIron:
		s.shape("D", 1.6, 7.2, 2.2, 5, 4, 4, 6.8, 4, 7.8, 7.2)
		s.line(3.4, 4.2, 3.8, 2.8, 6.6, 2.8)
		s.crossed()
	case ticket.SignWipe:
		s.shape("D", 2, 4.4, 6, 3, 7.8, 5.8, 3.8, 7.4)
		s.pen(accent, 0.5)
		s.line(6.8, 2.4, 8.6, 2)
		s.line(8, 3.4, 8.8, 3.6)
	case ticket.SignWait:
		s.circle(5, 5, 3.3, "D")
		s.line(5, 2.9, 5, 5, 6.6, 5.9)
	}
	p.f.SetLineJoinStyle("miter")
}

// shirt draws the outline of a shirt about a middle.
func (s sketch) shirt(x, y, k float64) {
	var points []float64
	for _, q := range [][2]float64{{-1.4, -3.4}, {-4, -2}, {-3.2, -0.2}, {-2.2, -0.7}, {-2.2, 3.4}, {2.2, 3.4}, {2.2, -0.7}, {3.2, -0.2}, {4, -2}, {1.4, -3.4}, {0.8, -2.6}, {-0.8, -2.6}} {
		points = append(points, x+q[0]*k, y+q[1]*k)
	}
	s.shape("D", points...)
}

func (s sketch) tub() {
	s.line(1.4, 3.4, 2.6, 8, 7.4, 8, 8.6, 3.4)
}

func (s sketch) crossed() {
	s.pen(alarm, 0.7)
	s.line(1.6, 8.4, 8.4, 1.6)
}
