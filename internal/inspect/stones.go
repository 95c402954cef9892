package inspect

import (
	"fmt"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// checkGaps finds pairs of stones nearer than their gap.
func (m *model) checkGaps() {
	for i, s := range m.stones {
		m.near.Each(s.at, m.widest+m.farthest, func(j int, at geom.Point) bool {
			o := m.stones[j]
			least := reach(s.diameter, s.gap, o.diameter, o.gap)
			if d := s.at.Dist(at); j > i && d < least-GapTolerance {
				between := d - (s.diameter+o.diameter)/2
				gap := max(s.gap, o.gap)
				m.add(Finding{
					ID: Gap, Region: m.regions[s.region].ID, Stone: s.number, X: s.at.X, Y: s.at.Y, Value: between, Limit: gap,
					Message: fmt.Sprintf("stones %d and %d are %.3f mm apart, less than the gap of %.3f mm", s.number, o.number, between, gap),
				})
			}
			return true
		})
	}
}

// checkInside finds stones that stick out of their region or lie off their line.
func (m *model) checkInside() {
	for _, s := range m.stones {
		r := &m.regions[s.region]
		f := Finding{Region: r.ID, Stone: s.number, X: s.at.X, Y: s.at.Y}
		if r.Open {
			f.ID, f.Value, f.Limit = Line, r.outline.Nearest(s.at).Dist, InsideTolerance
			if f.Value > f.Limit {
				f.Message = fmt.Sprintf("stone %d lies %.3f mm off its line", s.number, f.Value)
				m.add(f)
			}
			continue
		}
		depth := r.outline.Depth(s.at)
		whole := r.wholeInside(s)
		switch least := r.inset(s.diameter); {
		case !whole && depth < -InsideTolerance:
			f.ID, f.Value, f.Limit = Outside, depth, 0
			f.Message = fmt.Sprintf("the centre of stone %d lies %.3f mm outside its region", s.number, -depth)
			m.add(f)
		case whole && depth < s.diameter/2-InsideTolerance:
			f.ID, f.Value, f.Limit = Outside, depth, s.diameter/2
			f.Message = fmt.Sprintf("stone %d sticks out of its region by %.3f mm", s.number, s.diameter/2-depth)
			m.add(f)
		case whole && depth < least-InsideTolerance:
			f.ID, f.Value, f.Limit = Margin, depth-s.diameter/2, r.Margin
			f.Message = fmt.Sprintf("stone %d is %.3f mm from the outline, less than the margin of %.3f mm", s.number, f.Value, r.Margin)
			m.add(f)
		}
	}
}

// wholeInside says whether the whole stone must be inside its closed region:
// not on a spine, whose stroke may be thinner than the stone; a stone set by
// hand counts as the region's other stones do.
func (r *region) wholeInside(s stone) bool {
	if s.role == design.RoleHand {
		return r.has(design.Rim) || r.has(design.Bed)
	}
	return s.role != design.RoleSpine
}
