package geom

import "math"

// outlineSamples are points along the rings of a shape, every corner among them,
// so that each piece of outline lies between two neighbours of the samples.
type outlineSamples struct {
	at         []Point
	prev, next []int
	ring       []int
	along      []float64 // way from the ring's start
	length     []float64 // of each ring
	tri        Triangulation
}

// Sampling. A piece of outline is at most widthShare of the local width long,
// where the outline faces itself: facing means that the way along the outline
// is at least facingRatio times the way across, which a corner of more than
// 60° never reaches. finestShare of the step bounds the pieces from below, and
// rounds the work; two or three rounds are enough for all but slivers.
const (
	widthShare  = 0.3
	facingRatio = 2
	finestShare = 1.0 / 16
	rounds      = 5
	morePieces  = 16
)

// sampleOutline samples the rings so that neighbours are joined by a side of
// the Delaunay triangulation, spaced by the step and by the local width.
func sampleOutline(s Shape, step float64) *outlineSamples {
	rings := make([][]Point, len(s.Rings))
	for i, r := range s.Rings {
		pieces := make([]int, len(r))
		for k, p := range r {
			pieces[k] = int(math.Ceil(p.Dist(r[(k+1)%len(r)]) / step))
		}
		rings[i] = subdivide(r, pieces)
	}
	for round := 0; ; round++ {
		o := newSamples(rings)
		pieces := o.pieces(step * finestShare)
		if round == rounds || pieces == nil {
			return o
		}
		first := 0
		for i, r := range rings {
			rings[i] = subdivide(r, pieces[first:first+len(r)])
			first += len(r)
		}
	}
}

// subdivide cuts side k of a ring into pieces[k] equal pieces.
func subdivide(r []Point, pieces []int) []Point {
	var out []Point
	for k, p := range r {
		out = append(out, p)
		for j := 1; j < pieces[k]; j++ {
			out = append(out, p.Lerp(r[(k+1)%len(r)], float64(j)/float64(pieces[k])))
		}
	}
	return out
}

func newSamples(rings [][]Point) *outlineSamples {
	o := &outlineSamples{}
	for i, r := range rings {
		first, n := len(o.at), len(r)
		way := 0.0
		for k, p := range r {
			o.at = append(o.at, p)
			o.ring = append(o.ring, i)
			o.prev = append(o.prev, first+(k+n-1)%n)
			o.next = append(o.next, first+(k+1)%n)
			o.along = append(o.along, way)
			way += p.Dist(r[(k+1)%n])
		}
		o.length = append(o.length, way)
	}
	o.tri = Delaunay(o.at)
	return o
}

// side names the Delaunay side between two samples, in that direction.
func (o *outlineSamples) side(a, b int) uint64 {
	return uint64(o.tri.Same[a])<<32 | uint64(o.tri.Same[b])
}

// way gives the shorter way between two samples along the outline, infinite
// between two rings.
func (o *outlineSamples) way(a, b int) float64 {
	if o.ring[a] != o.ring[b] {
		return math.Inf(1)
	}
	d := math.Abs(o.along[a] - o.along[b])
	return min(d, o.length[o.ring[a]]-d)
}

// pieces says into how many pieces to cut the outline after each sample; nil
// if no cut is wanted.
func (o *outlineSamples) pieces(finest float64) []int {
	out := make([]int, len(o.at))
	found := false
	ask := func(i int, longest float64) {
		l := o.at[i].Dist(o.at[o.next[i]])
		if n := min(morePieces, int(math.Ceil(l/max(longest, finest)-1e-6))); n > 1 {
			out[i], found = max(out[i], n), true
		}
	}
	sides := make(map[uint64]bool, 3*len(o.tri.Triangles))
	for _, c := range o.tri.Triangles {
		for k, a := range c {
			b := c[(k+1)%3]
			sides[o.side(a, b)] = true
			if across := o.at[a].Dist(o.at[b]); o.way(a, b) > facingRatio*across {
				for _, i := range [2]int{a, b} {
					ask(i, across*widthShare)
					ask(o.prev[i], across*widthShare)
				}
			}
		}
	}
	for i, j := range o.next {
		if l := o.at[i].Dist(o.at[j]); !sides[o.side(i, j)] && !sides[o.side(j, i)] && l > snapGrid {
			ask(i, l/2)
		}
	}
	if !found {
		return nil
	}
	return out
}

// footReach is how many samples to each side of one the foot of a point is
// looked for: a sample is a site of the point, so the foot is next to it.
const footReach = 3

// foot gives the nearest point to p on the outline next to sample i.
func (o *outlineSamples) foot(p Point, i int) Point {
	best, least := o.at[i], p.Dist2(o.at[i])
	for k := 0; k < footReach; k++ {
		i = o.prev[i]
	}
	for k := 0; k < 2*footReach; k++ {
		if f := NearestOn(p, o.at[i], o.at[o.next[i]]); p.Dist2(f) < least {
			best, least = f, p.Dist2(f)
		}
		i = o.next[i]
	}
	return best
}

// NearestOn gives the point of the segment a–b that is nearest to p; a where both are one.
func NearestOn(p, a, b Point) Point {
	ab := b.Sub(a)
	l := ab.Len2()
	if l == 0 {
		return a
	}
	return a.Add(ab.Mul(max(0, min(1, p.Sub(a).Dot(ab)/l))))
}
