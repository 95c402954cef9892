package inspect

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Runs, as shares of the pitch: two stones that follow each other in a rim or
// spine are neighbours while they are nearer than runBreak; a stone holds a
// corner within cornerReach of it.
const (
	runBreak    = 1.6
	cornerReach = 0.1
)

// row names what all stones of one row share.
type row struct {
	role design.Role
	size string
	ring int
}

// chain is a part of a row of stones, each a neighbour of the next.
type chain struct {
	row
	at   []geom.Point
	loop bool
}

func (c *chain) last() geom.Point { return c.at[len(c.at)-1] }

// chains reads the rows of a region off the order of its stones: a row goes on
// while role, size and, for a rim, the outline's ring stay the same and the next
// stone is near.
func (m *model) chains(region int) []chain {
	r := &m.regions[region]
	pitch := r.diameter + r.Gap
	var out []chain
	for _, s := range m.stones {
		if s.region != region || s.role != design.RoleRim && s.role != design.RoleSpine {
			continue
		}
		now := row{role: s.role, size: s.kind.size}
		if s.role == design.RoleRim {
			now.ring = r.outline.Nearest(s.at).Ring
		}
		k := len(out) - 1
		if k < 0 || out[k].row != now || out[k].last().Dist(s.at) >= runBreak*pitch {
			out = append(out, chain{row: now})
			k++
		}
		out[k].at = append(out[k].at, s.at)
	}
	return closeChains(out, runBreak*pitch)
}

// closeChains makes loops of the chains whose ends are near, and joins the last
// chain of a rim's ring to its first where those are: a ring with a gap starts
// anywhere.
func closeChains(all []chain, near float64) []chain {
	var out []chain
	for start := 0; start < len(all); {
		end := start + 1
		for end < len(all) && all[end].row == all[start].row {
			end++
		}
		group := all[start:end]
		n := len(group) - 1
		if n > 0 && group[0].role == design.RoleRim && group[n].last().Dist(group[0].at[0]) < near {
			group[0].at = append(group[n].at, group[0].at...)
			group = group[:n]
		}
		for _, c := range group {
			c.loop = len(c.at) > 2 && c.last().Dist(c.at[0]) < near
			out = append(out, c)
		}
		start = end
	}
	return out
}

// runs gives the centre distances of neighbours, run by run: a chain is cut at
// the stones that hold a corner.
func (c chain) runs(pinned func(geom.Point) bool) [][]float64 {
	at := c.at
	if c.loop {
		start := 0
		for i, p := range at {
			if pinned(p) {
				start = i
				break
			}
		}
		at = append(append(append([]geom.Point(nil), at[start:]...), at[:start]...), at[start])
	}
	var out [][]float64
	var now []float64
	for i := 1; i < len(at); i++ {
		now = append(now, at[i-1].Dist(at[i]))
		if i == len(at)-1 || pinned(at[i]) {
			out = append(out, now)
			now = nil
		}
	}
	return out
}

// measureRuns is M2.
func (m *model) measureRuns(row *Row, region int, corners []geom.Point) {
	r := &m.regions[region]
	pitch := r.diameter + r.Gap
	pinned := func(p geom.Point) bool { return nearAny(p, corners, cornerReach*pitch) }
	worst, sum := 0.0, 0.0
	for _, c := range m.chains(region) {
		for _, run := range c.runs(pinned) {
			least, most, way := math.Inf(1), 0.0, 0.0
			for _, d := range run {
				least, most = math.Min(least, d), math.Max(most, d)
				row.distances = append(row.distances, d/pitch)
				way += d / pitch
			}
			sum += way
			if least > 0 {
				worst = math.Max(worst, most/least)
				row.Runs = append(row.Runs, Run{len(run) + 1, most / least, way / float64(len(run))})
			}
		}
	}
	if worst > 0 {
		row.Evenness = figure(worst)
	}
	row.Spacing = ratio(sum, float64(len(row.distances)))
}

func nearAny(p geom.Point, list []geom.Point, reach float64) bool {
	for _, q := range list {
		if p.Dist(q) <= reach {
			return true
		}
	}
	return false
}

// measureCorners is M4.
func (m *model) measureCorners(row *Row, region int, corners []geom.Point) {
	r := &m.regions[region]
	row.CornerCount = len(corners)
	for _, c := range corners {
		held := false
		m.near.Each(c, cornerReach*(r.diameter+r.Gap), func(i int, _ geom.Point) bool {
			held = held || m.stones[i].region == region
			return !held
		})
		if held {
			row.held++
		}
	}
	row.Corners = ratio(float64(row.held), float64(row.CornerCount))
}
