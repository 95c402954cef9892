package layout

import (
	"math"

	"brushfall/internal/design"
)

// spreadAccents says which stones of a row are accents, given the steps between
// each two stops. A closed row has a stone for each step, an open one one more.
func (s *site) spreadAccents(counts []int, closed bool, role design.Role) []bool {
	total := 0
	for _, n := range counts {
		total += n
	}
	marks := make([]bool, total+1)
	switch {
	case s.Accents.Corners && (len(counts) > 1 || !closed):
		from := 0
		for _, n := range counts {
			markEnds(marks[from:from+n+1], max(1, s.accentsIn(n)))
			from += n
		}
	case closed || role != design.RoleRim:
		markEnds(marks, s.accentsIn(total))
	default:
		markInside(marks, s.accentsIn(total+1))
	}
	if closed {
		marks = marks[:total]
	}
	return marks
}

// accentsIn gives how many accents n steps hold.
func (s *site) accentsIn(n int) int {
	return int(math.Round(float64(n) / float64(s.Accents.Every)))
}

// markEnds marks both ends and what divides the steps between evenly into parts.
func markEnds(marks []bool, parts int) {
	for k := range parts + 1 {
		if parts > 0 {
			marks[int(math.Round(float64(k*(len(marks)-1))/float64(parts)))] = true
		}
	}
}

// markInside marks the middle of each of n even parts: a stretch of a rim ends
// where spines begin, and an end has no room.
func markInside(marks []bool, n int) {
	for k := range n {
		marks[int((float64(k)+0.5)*float64(len(marks))/float64(n))] = true
	}
}
