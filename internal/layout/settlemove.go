package layout

import (
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// How stones are moved while rows settle.
const (
	settleRounds  = 60
	settleTail    = 12  // the last of them only push stones apart
	patientRounds = 150 // where a stone comes in, there is hardly room
	patientTail   = 70
	hopeAfter     = 30    // by this round no stone may be too near to another by more
	hopeless      = 0.12  // than so many pitches
	settleGain    = 0.45  // share of the way to the middle between its neighbours that a stone goes at once
	settleHome    = 0.3   // and of the way to its corner
	cornerHome    = 0.095 // how far from its corner a stone may be pushed, in pitches
	settlePair    = 1.7   // pairs nearer than this at the start are watched, in pitches
)

// loose is a stone that moves.
type loose struct {
	id     int
	at     geom.Point
	role   design.Role
	t      *track  // the path that a rim's stone keeps to
	s      float64 // its place on it
	home   geom.Point
	homed  bool         // whether it is to stay within cornerHome of home
	base   []geom.Point // the row of a spine's stone, that it may leave only where there is room
	depth  float64      // how deep it must lie at least
	stuck  bool
	images []int // the loose stones at its images, by the group's ops; nil without a symmetry
	leader int   // which of them is moved, and the others with it
	op     int   // that brings the leader here
}

// crew is the loose stones of one try.
type crew struct {
	w       *settler
	stones  []loose
	place   map[int]int // of a stone among them
	pairs   [][2]int
	walls   [][]foreign // what stands near each
	triples [][3]int    // by id
	ends    [][3]int
	aim     aim
}

// settle seeks a stance for an aim, with the given stones loose; false if there is none.
func (w *settler) settle(ids []int, a aim) (stance, bool) {
	c := &crew{w: w, place: map[int]int{}, aim: a}
	for _, id := range ids {
		if !a.gone[id] {
			c.place[id] = len(c.stones)
			c.stones = append(c.stones, w.newLoose(id, a))
		}
	}
	if !c.findImages() {
		return stance{}, false
	}
	c.findPairs()
	c.findTriples()
	rounds, tail, hope := settleRounds, settleTail, math.Inf(1)
	if len(a.start) > 0 {
		rounds, tail, hope = patientRounds, patientTail, hopeless*w.pitch
	}
	for k := range rounds - tail {
		if over := c.round(settleGain); k == hopeAfter && over > hope {
			return stance{}, false
		}
	}
	for range tail {
		if c.round(0) == 0 {
			break
		}
	}
	return c.stance()
}

// newLoose makes a stone loose.
func (w *settler) newLoose(id int, a aim) loose {
	p := w.pieces[id]
	l := loose{id: id, at: p.at, role: p.role, depth: w.depth}
	if home, ok := a.hold[id]; ok {
		l.at, l.home, l.homed = home, home, true
	} else if w.pin[id] {
		l.homed = true
		best := math.Inf(1)
		for _, c := range w.corners {
			if d := c.Dist(p.at); d < best {
				best, l.home = d, c
			}
		}
	}
	if at, elsewhere := a.start[id]; elsewhere && !l.homed {
		l.at = at
	}
	switch ring, on := w.along[id]; {
	case p.role == design.RoleRim && on:
		t := &w.tracks[ring]
		s, far := t.nearest(l.at)
		l.t, l.s, l.stuck = t, s, far > onPath
	case p.role == design.RoleRim:
		l.stuck = true
	default:
		l.base = w.baseOf(id)
		l.depth = math.Min(w.depth, w.outline.Depth(p.at))
	}
	return l
}

// baseOf gives the row around a stone.
func (w *settler) baseOf(id int) []geom.Point {
	out := []geom.Point{w.pieces[id].at}
	for side, n := range w.links[id] {
		if side > 1 {
			break
		}
		var arm []geom.Point
		for prev, at, k := id, n, 0; k < 3; k++ {
			arm = append(arm, w.pieces[at].at)
			next := -1
			for _, o := range w.links[at] {
				if o != prev {
					next = o
					break
				}
			}
			if next < 0 {
				break
			}
			prev, at = at, next
		}
		if side == 0 {
			slices.Reverse(arm)
			out = append(arm, out...)
		} else {
			out = append(out, arm...)
		}
	}
	return out
}

// findImages notes who is whose image; false if an image of a stone is not there.
func (c *crew) findImages() bool {
	if c.w.group == nil {
		return true
	}
	for i := range c.stones {
		l := &c.stones[i]
		mates := c.w.orbit[l.id]
		if len(mates) == 0 {
			l.stuck = true
			continue
		}
		if slices.Min(mates) != l.id {
			continue
		}
		own := 0
		for _, m := range mates {
			k, in := c.place[m]
			if !in {
				return false
			}
			l.images = append(l.images, k)
			if k == i {
				own++
			}
		}
		l.stuck = l.stuck || own > 1 && l.t != nil
		for op, k := range l.images {
			c.stones[k].leader, c.stones[k].op = i, op
		}
	}
	return true
}

// findPairs lists which stones may come too near to each other.
func (c *crew) findPairs() {
	reach := settlePair * c.w.pitch
	c.walls = make([][]foreign, len(c.stones))
	for i, a := range c.stones {
		for j := range c.stones[:i] {
			if a.at.Dist(c.stones[j].at) < reach || c.w.pieces[a.id].at.Dist(c.w.pieces[c.stones[j].id].at) < reach {
				c.pairs = append(c.pairs, [2]int{j, i})
			}
		}
		c.w.index.Each(a.at, reach, func(id int, q geom.Point) bool {
			if _, in := c.place[id]; !in && !c.aim.gone[id] {
				c.walls[i] = append(c.walls[i], foreign{q, c.w.pitch})
			}
			return true
		})
		if c.w.near != nil {
			c.w.near.Each(a.at, reach+c.w.reach, func(o int, q geom.Point) bool {
				c.walls[i] = append(c.walls[i], c.w.others[o])
				return true
			})
		}
	}
}

// findTriples picks the stones that follow each other in a row and of which one at
// least is loose; where one goes, those beside it become neighbours.
func (c *crew) findTriples() {
	in := func(id int) bool { _, ok := c.place[id]; return ok }
	skip := map[int][2]int{}
	for _, t := range c.w.triples {
		if c.aim.gone[t[1]] {
			skip[t[1]] = [2]int{t[0], t[2]}
		}
	}
	over := func(id, from int) int {
		if n, ok := skip[id]; ok {
			if n[0] == from {
				return n[1]
			}
			return n[0]
		}
		return id
	}
	ends := map[int]bool{}
	for _, t := range c.w.triples {
		if c.aim.gone[t[1]] {
			continue
		}
		t = [3]int{over(t[0], t[1]), t[1], over(t[2], t[1])}
		if c.aim.gone[t[0]] || c.aim.gone[t[2]] {
			continue
		}
		if c.aim.opens(t[0], t[1]) || c.aim.opens(t[1], t[2]) {
			continue
		}
		if in(t[1]) {
			c.triples = append(c.triples, t)
		}
		for _, e := range [2]int{t[0], t[2]} {
			if in(e) && len(c.w.links[e]) == 1 && !ends[e] {
				ends[e] = true
				c.ends = append(c.ends, [3]int{e, t[1], t[0] + t[2] - e})
			}
		}
	}
}

// of gives where a stone stands by now.
func (c *crew) of(id int) geom.Point {
	if k, in := c.place[id]; in {
		return c.stones[k].at
	}
	return c.w.pieces[id].at
}

// round moves every stone once. It gives by how much, at most, one was too near to another.
func (c *crew) round(gain float64) (over float64) {
	if gain > 0 {
		for _, t := range c.triples {
			a, b, d := c.of(t[0]), c.of(t[1]), c.of(t[2])
			along := d.Sub(a)
			if l := along.Len(); l > 0 {
				c.shift(c.place[t[1]], along.Mul(gain/2*(b.Dist(d)-a.Dist(b))/l))
			}
		}
		for _, t := range c.ends {
			a, b, d := c.of(t[0]), c.of(t[1]), c.of(t[2])
			away := a.Sub(b)
			if l := away.Len(); l > 0 {
				c.shift(c.place[t[0]], away.Mul(gain/2*(b.Dist(d)-l)/l))
			}
		}
		for k := range c.stones {
			if l := &c.stones[k]; l.homed {
				c.shift(k, l.home.Sub(l.at).Mul(settleHome))
			}
		}
	}
	for _, p := range c.pairs {
		a, b := &c.stones[p[0]], &c.stones[p[1]]
		d, keep := b.at.Sub(a.at), c.w.pitch+slack
		if c.aim.opens(a.id, b.id) {
			keep *= mouth
		}
		l := d.Len()
		if l >= keep || l == 0 {
			continue
		}
		over = math.Max(over, keep-l)
		push := d.Mul((keep - l) / l / 2)
		c.shift(p[0], push.Mul(-1))
		c.shift(p[1], push)
	}
	for k, walls := range c.walls {
		for _, o := range walls {
			d := c.stones[k].at.Sub(o.at)
			if l := d.Len(); l > 0 && l < o.reach+slack {
				over = math.Max(over, o.reach+slack-l)
				c.shift(k, d.Mul((o.reach+slack-l)/l))
			}
		}
	}
	return over
}

// shift moves a stone, and its images alike, by as much as it may.
func (c *crew) shift(k int, by geom.Point) {
	l := &c.stones[k]
	if g := c.w.group; g != nil && !l.stuck {
		m := g.ops[l.op]
		back, _ := m.Inverse() // a turn or a mirror always has one
		by = back.Apply(by).Sub(back.Apply(geom.Point{}))
		k, l = l.leader, &c.stones[l.leader]
	}
	if l.stuck {
		return
	}
	c.put(l, l.at.Add(by), by)
	c.follow(k)
}

// follow brings the images of a stone to where it stands; a stone that is its own
// image stays between.
func (c *crew) follow(k int) {
	l := &c.stones[k]
	if c.w.group == nil || l.images == nil {
		return
	}
	ops := c.w.group.ops
	var mean geom.Point
	own := 0.0
	for op, i := range l.images {
		if i == k {
			mean, own = mean.Add(ops[op].Apply(l.at)), own+1
		}
	}
	if own > 1 {
		l.at = mean.Mul(1 / own)
	}
	for op, i := range l.images {
		if i != k {
			c.stones[i].at = ops[op].Apply(l.at)
		}
	}
}

// stance gives where the stones have come to stand, false if that breaks a rule.
func (c *crew) stance() (stance, bool) {
	v := stance{to: map[int]geom.Point{}, gone: c.aim.gone}
	for k, l := range c.stones {
		at := round(l.at)
		if g := c.w.group; g != nil && !l.stuck && l.leader != k {
			lead := c.stones[l.leader]
			at = c.w.rowImage(g.ops[l.op], lead.at, l.role)
			if at.Dist(g.ops[l.op].Apply(lead.at)) > imageOff {
				return v, false
			}
		}
		if at.Dist(c.w.pieces[l.id].at) > grid {
			v.to[l.id] = at
		}
	}
	return v, c.w.legal(v)
}
