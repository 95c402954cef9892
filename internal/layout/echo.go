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
	level := s.path
	if len(s.pieces) > 0 { // the rim lies on the path itself
		level = s.made.inset(level, s.pitch+slack, insetTol)
	}
	for !level.Empty() {
		if err := ctx.Err(); err != nil {
			return err
		}
		s.layLevel(level)
		// From row to row, and not from the outline each time: insets compose, and
		// small steps are quick.
		level = s.made.inset(level, s.pitch+slack, insetTol)
	}
	return s.saturate(ctx)
}

// layLevel sets one echo of the outline.
func (s *site) layLevel(level geom.Shape) {
	s.levels = append(s.levels, len(s.rows))
	var runs []run
	for i, ring := range level.Rings {
		t := newTrack(ring, true)
		runs = append(runs, numbered(s.loopRuns(t, t.pins(s.pitch, s.depth, s.group != nil)), i)...)
	}
	for i := range runs {
		for j := range runs[i].stones {
			runs[i].stones[j].role = design.RoleBed
		}
	}
	s.setRuns(runs, nil)
}
