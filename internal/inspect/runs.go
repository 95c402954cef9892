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
	ring int
}

// link is a stone of a row: its centre, and by how much its radius exceeds that
// of the region's own stones.
type link struct {
	at   geom.Point
	over float64
}

// apart gives the centre distance that two stones of the region's own size would
// have with the same clear space between them.
func (a link) apart(b link) float64 { return a.at.Dist(b.at) - a.over - b.over }

// astray gives how far a stone of another size that fills a corner may stand from
// where one of the region's own size would: a corner of 60° holds centres at
// twice their radius.
func (a link) astray() float64 { return 2 * math.Abs(a.over) }

// chain is a part of a row of stones, each a neighbour of the next.
type chain struct {
	row
	links []link
	loop  bool
}

func (c *chain) last() link { return c.links[len(c.links)-1] }

// chains reads the rows of a region off the order of its stones: a row goes on
// while role and, for a rim, the outline's ring stay the same and the next stone
// is near.
func (m *model) chains(region int) []chain {
	r := &m.regions[region]
	pitch := r.diameter + r.Gap
	var out []chain
	for _, s := range m.stones {
		if s.region != region || s.role != design.RoleRim && s.role != design.RoleSpine {
			continue
		}
		now := row{role: s.role}
		stone := link{s.at, (s.diameter - r.diameter) / 2}
		if s.role == design.RoleRim {
			now.ring = r.outline.Nearest(s.at).Ring
		}
		k := len(out) - 1
		if k < 0 || out[k].row != now || out[k].last().apart(stone) >= runBreak*pitch {
			out = append(out, chain{row: now})
			k++
		}
		out[k].links = append(out[k].links, stone)
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
		if n > 0 && group[0].role == design.RoleRim && group[n].last().apart(group[0].links[0]) < near {
			group[0].links = append(group[n].links, group[0].links...)
			group = group[:n]
		}
		for _, c := range group {
			c.loop = len(c.links) > 2 && c.last().apart(c.links[0]) < near
			out = append(out, c)
		}
		start = end
	}
	return out
}

// runs gives the stones of each run: a chain is cut at the stones that hold a
// corner, and neighbouring runs share the stone that they are cut at.
func (c chain) runs(pinned func(link) bool) [][]link {
	at := c.links
	if c.loop {
		start := 0
		for i, p := range at {
			if pinned(p) {
				start = i
				break
			}
		}
		at = append(append(append([]link(nil), at[start:]...), at[:start]...), at[start])
	}
	var out [][]link
	from := 0
	for i := 1; i < len(at); i++ {
		if i == len(at)-1 || pinned(at[i]) {
			out = append(out, at[from:i+1])
			from = i
		}
	}
	return out
}

// measureRuns is M2.
func (m *model) measureRuns(row *Row, region int, corners []geom.Point) {
	r := &m.regions[region]
	pitch := r.diameter + r.Gap
	pinned := func(s link) bool { return nearAny(s.at, corners, cornerReach*pitch+s.astray()) }
	worst, sum := 0.0, 0.0
	for _, c := range m.chains(region) {
		for _, run := range c.runs(pinned) {
			least, most, way := math.Inf(1), 0.0, 0.0
			for k := range run[1:] {
				d := run[k].apart(run[k+1])
				least, most = math.Min(least, d), math.Max(most, d)
				row.distances = append(row.distances, d/pitch)
				way += d / pitch
			}
			sum += way
			if least > 0 {
				worst = math.Max(worst, most/least)
				steps := len(run) - 1
				r := Run{Stones: steps + 1, Evenness: most / least, Spacing: way / float64(steps), Role: c.role}
				r.Pinned = [2]bool{pinned(run[0]), pinned(run[steps])}
				for _, l := range run {
					r.Places = append(r.Places, l.at)
				}
				row.Runs = append(row.Runs, r)
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
func (m *model) measureCorners(row *Row, region int, corners []geom.Point, allowed geom.Shape) {
	r := &m.regions[region]
	row.CornerCount = len(corners)
	for _, c := range corners {
		held := false
		reach := cornerReach * (r.diameter + r.Gap)
		m.near.Each(c, reach+link{over: (m.widest - r.diameter) / 2}.astray(), func(i int, at geom.Point) bool {
			s := link{at, (m.stones[i].diameter - r.diameter) / 2}
			held = held || m.stones[i].region == region && c.Dist(at) <= reach+s.astray()
			return !held
		})
		if held {
			row.held++
		} else {
			row.Missed = append(row.Missed, c)
		}
	}
	row.CornersMost = max(row.held, mostHeld(corners, allowed, r.diameter+r.Gap))
	row.Corners = ratio(float64(row.held), float64(row.CornerCount))
}
