package layout

import (
	"context"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// layEcho fills what the rim leaves with rows that repeat the outline, a pitch
// apart, and the rest with single stones.
func (s *site) layEcho(ctx context.Context) error {
	if s.outline == nil {
		return nil
	}
	for k := 1; ; k++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		level := geom.Inset(s.path, float64(k)*(s.pitch+slack), insetTol)
		if len(s.pieces) == 0 { // no rim: the first row lies on its path
			level = s.path
		}
		if level.Empty() {
			break
		}
		s.layLevel(level)
		if len(s.pieces) == 0 {
			break
		}
	}
	return s.saturate(ctx)
}

// layLevel sets one echo of the outline.
func (s *site) layLevel(level geom.Shape) {
	var rows []candidate
	for i, ring := range level.Rings {
		t := newTrack(ring, true)
		for _, run := range s.loopRuns(t, t.corners(s.pitch)) {
			for _, c := range run {
				c.row, c.role = i, design.RoleBed
				rows = append(rows, c)
			}
		}
	}
	s.putRows(s.thin(rows))
}
