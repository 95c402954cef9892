package tour

import "slices"

// leastGain is the shortening, in mm, below which a change is not worth making:
// well above rounding, so that the improvement always comes to an end.
const leastGain = 1e-7

// longestFlip is the most stops that are turned at once: Bentley, "Fast
// algorithms for geometric traveling salesman problems" (1992), loses nearly
// nothing by such a bound and gains much time with very many points.
const longestFlip = 50_000

// longestStretch is the most points that are moved elsewhere together (Or 1976).
const longestStretch = 3

// improve changes the cycle until nothing helps, then disturbs it.
func (c *cycle) improve(e Effort) {
	for _, i := range slices.Clone(c.order) {
		c.push(i)
	}
	c.settle()
	c.disturb(min(e.PerPoint*len(c.points), e.Most))
}

func (c *cycle) push(i int32) {
	if !c.queued[i] {
		c.queued[i] = true
		c.queue = append(c.queue, i)
	}
}

// settle works the queue of points off whose surroundings changed, and gives by
// how much the cycle got shorter.
func (c *cycle) settle() float64 {
	gained := 0.0
	for head := 0; head < len(c.queue); head++ {
		i := c.queue[head]
		c.queued[i] = false
		for {
			g := c.better(i)
			if g == 0 {
				break
			}
			gained += g
		}
	}
	c.queue = c.queue[:0]
	return gained
}

// better makes the first change at point i that shortens the cycle.
func (c *cycle) better(i int32) float64 {
	for _, forwards := range [2]bool{true, false} {
		if g := c.exchange(i, forwards); g > 0 {
			return g
		}
	}
	for _, forwards := range [2]bool{true, false} {
		if g := c.move(i, forwards); g > 0 {
			return g
		}
	}
	return 0
}

// after gives the point that follows i in a direction.
func (c *cycle) after(i int32, forwards bool) int32 {
	if forwards {
		return c.next(i)
	}
	return c.previous(i)
}

// exchange replaces the edge from i in a direction, and one near it, by two
// shorter ones: 2-opt (Croes 1958).
func (c *cycle) exchange(i int32, forwards bool) float64 {
	j := c.after(i, forwards)
	given := c.cost(i, j)
	for k, near := range c.near[i] {
		spare := given - c.reach[i][k]
		if spare <= leastGain {
			return 0
		}
		beyond := c.after(near, forwards)
		g := spare + c.cost(near, beyond) - c.cost(j, beyond)
		if g > leastGain && c.flip(i, j, near, beyond) {
			c.push(i)
			c.push(j)
			c.push(near)
			c.push(beyond)
			return g
		}
	}
	return 0
}

// move takes a stretch of up to three points that begins at i out and puts it,
// either way round, between a point near i and one beside that.
func (c *cycle) move(i int32, forwards bool) float64 {
	outside := c.after(i, !forwards)
	stretch := [longestStretch]int32{}
	end := i
	for count := range longestStretch {
		if count > 0 {
			end = c.after(end, forwards)
		}
		stretch[count] = end
		beyond := c.after(end, forwards)
		if end == outside || beyond == outside {
			return 0
		}
		given := c.cost(outside, i) + c.cost(end, beyond) - c.cost(outside, beyond)
		for k, near := range c.near[i] {
			spare := given - c.reach[i][k]
			if spare <= leastGain {
				break
			}
			if slices.Contains(stretch[:count+1], near) {
				continue
			}
			for _, side := range [2]bool{true, false} {
				other := c.after(near, side == forwards)
				if other == i || other == end {
					continue
				}
				g := spare + c.cost(near, other) - c.cost(end, other)
				if g > leastGain && c.insert(outside, i, end, beyond, near, other, side) {
					for _, p := range [6]int32{outside, i, end, beyond, near, other} {
						c.push(p)
					}
					return g
				}
			}
		}
	}
	return 0
}

// insert takes the stretch i…end out from between outside and beyond and puts it
// between near and other, i beside near. ahead says that other follows near in
// the direction from i to end. It says false where a flip would be too long; the
// cycle is then as before.
func (c *cycle) insert(outside, i, end, beyond, near, other int32, ahead bool) bool {
	before := len(c.flips)
	ok := true
	if ahead {
		// … outside [i … end] beyond … near other …
		// The stretch turned where it stands, then carried along: near [i … end] other.
		ok = c.flip(outside, i, end, beyond)
		if ok {
			i, end = end, i
		}
		// Now … outside [i … end] beyond … near other …, and end is to come beside near.
		ok = ok && c.flip(outside, i, near, other) && c.flip(outside, near, beyond, end)
	} else {
		// … outside [i … end] beyond … other near …: i is to come beside near, so
		// the stretch comes to lie the other way round.
		ok = c.flip(outside, i, other, near) && c.flip(outside, other, beyond, end)
	}
	if !ok {
		c.undo(before)
	}
	return ok
}
