package geom

import "math"

// Skeleton is the pruned medial axis of an area: the centres of the discs that
// touch the outline in two places or more, without the branches that only lead
// into corners and bumps.
type Skeleton struct {
	Nodes []SkeletonNode
	Arcs  []SkeletonArc
}

// SkeletonNode is an end, a junction, or the start of a loop without either.
// Radius is the distance to the outline in mm. Arcs lists the arcs that start
// or end here, a loop twice. End says that at most one arc does.
type SkeletonNode struct {
	Point  Point
	Radius float64
	Arcs   []int
	End    bool
}

// SkeletonArc runs from node From to node To, which are one for a loop. Points
// starts and ends with the nodes' points, Radii holds the distance to the
// outline at each. Closed says that the arc is a loop that nothing else meets.
type SkeletonArc struct {
	From, To int
	Points   []Point
	Radii    []float64
	Closed   bool
}

// CentreOptions tells CentreLine how fine to work and what to leave out. The
// zero value asks for the defaults.
type CentreOptions struct {
	// Step is the greatest spacing of the points, in mm. 0: an eighth of the
	// mean width of the shape, at most 0.5 mm.
	Step float64
	// Prune drops an end branch that reaches out of the disc at its junction by
	// less than this share of the disc's radius. 0: DefaultPrune; negative: none.
	Prune float64
	// Merge makes one junction of two that are nearer than this share of the
	// larger radius. 0: DefaultMerge; negative: none.
	Merge float64
	// ExtendEnds, if positive, carries each end on in its direction until the
	// outline is that near, in mm.
	ExtendEnds float64
}

// DefaultPrune leaves out the two forks into the corners of a square end (each
// reaches out by 0.41 of the radius) and of a triangle of equal sides (1.0),
// and keeps an arm as long as the stroke is wide (1.1 in a plus sign).
const DefaultPrune = 1.05

// DefaultMerge makes one junction of the two that a crossing of strokes at
// nearly a right angle has.
const DefaultMerge = 0.5

// Steps: the default one, and the range that any is held to.
const (
	widthsPerStep = 8
	largestStep   = 0.5
	smallestStep  = 0.01
)

// noiseShare is the Prune of the first sieve, before arcs are told apart: it
// takes what sampling and flattening of smooth outlines leave (a corner of 30°
// reaches out by 0.035 of the radius).
const noiseShare = 0.05

// CentreLine gives the pruned medial axis of s, from the Voronoi diagram of
// points along the outline (Brandt and Algazi, CVGIP Image Understanding 55,
// 1992), each point then moved to lie equally far from the outline on both
// sides. The radii are exact distances to the outline. A disc or a square
// gives one node without arcs, an empty shape nothing. The order depends on
// the order of the rings and their points only.
func CentreLine(s Shape, opt CentreOptions) Skeleton {
	opt = opt.withDefaults(s)
	o := sampleOutline(s, opt.Step)
	if len(o.at) < 3 {
		return Skeleton{}
	}
	outline := NewBoundary(s)
	g := newAxis(o, outline)
	g.sieve(noiseShare)
	g.prune(opt.Prune)
	sk := g.skeleton()
	sk.merge(opt.Merge)
	for i := range sk.Arcs {
		sk.Arcs[i].Points = smooth(sk.Arcs[i], opt.Step, outline)
	}
	if opt.ExtendEnds > 0 {
		sk.extendEnds(opt.ExtendEnds, opt.Step, outline)
	}
	sk.finish(outline)
	return sk
}

func (opt CentreOptions) withDefaults(s Shape) CentreOptions {
	if opt.Step <= 0 {
		opt.Step = largestStep
		if p := s.Perimeter(); p > 0 {
			opt.Step = min(largestStep, 2*math.Abs(s.Area())/p/widthsPerStep)
		}
	}
	opt.Step = max(opt.Step, smallestStep)
	if opt.Prune == 0 {
		opt.Prune = DefaultPrune
	}
	if opt.Merge == 0 {
		opt.Merge = DefaultMerge
	}
	return opt
}

// finish fills what follows from the points: radii, and the nodes' arcs.
func (sk *Skeleton) finish(outline *Boundary) {
	for _, a := range sk.Arcs {
		if a.Closed {
			sk.Nodes[a.From].Point = a.Points[0]
		}
	}
	for i := range sk.Nodes {
		n := &sk.Nodes[i]
		n.Radius, n.Arcs = outline.Nearest(n.Point).Dist, nil
	}
	for i := range sk.Arcs {
		a := &sk.Arcs[i]
		a.Radii = make([]float64, len(a.Points))
		for k, p := range a.Points {
			a.Radii[k] = outline.Nearest(p).Dist
		}
		sk.Nodes[a.From].Arcs = append(sk.Nodes[a.From].Arcs, i)
		sk.Nodes[a.To].Arcs = append(sk.Nodes[a.To].Arcs, i)
	}
	for i := range sk.Nodes {
		sk.Nodes[i].End = len(sk.Nodes[i].Arcs) <= 1
	}
}
