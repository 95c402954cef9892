package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
)

// branching gives an upright stroke with one or two arms that lead off it, of any width
// from less than a stone's to that of three.
func branching(rnd *rand.Rand, pitch float64, mirrored bool) geom.Shape {
	bar := func(x, y, w, h float64) geom.Ring {
		return geom.Ring{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
	}
	between := func(lo, hi float64) float64 { return (lo + (hi-lo)*rnd.Float64()) * pitch }
	stem := between(0.9, 3)
	rings := []geom.Ring{bar(-stem/2, 0, stem, between(9, 14))}
	for range 1 + rnd.IntN(2) {
		arm := bar(0, between(1, 7), between(4, 8), between(0.9, 2.2))
		rings = append(rings, arm)
		if mirrored {
			rings = append(rings, bar(-arm[1].X, arm[0].Y, arm[1].X, arm[2].Y-arm[0].Y))
		}
	}
	return geom.Fill(rings, geom.NonZero)
}

// rowsOf sets the rows of a region up to where they are to be settled.
func rowsOf(shape geom.Shape, diameter, gap float64) *site {
	s := newSite(Region{Shape: shape, Size: "SS10", Diameter: diameter, Gap: gap}, nil, nil)
	groups := s.symmetryToKeep()
	if len(groups) > 0 {
		s.group = groups[0]
	}
	spines := s.spines(false)
	s.toCorners(spines)
	s.setRim(spines)
	s.setSpines(spines)
	s.setLone()
	s.keepSymmetry(groups)
	s.mendRims()
	return s
}

// Settling breaks no rule and makes no row worse: where strokes meet, stones keep the
// pitch, those of a rim stay on their path, images stay images, fewer corners are empty
// and fewer runs limp. What it does leaves nothing to do for a second go.
func TestSettleMakesNothingWorse(t *testing.T) {
	t.Parallel()
	const diameter, gap = 2.9, 0.9
	rnd := rand.New(rand.NewPCG(5, 11))
	var before, after verdict
	for trial := range 60 {
		shape := branching(rnd, diameter+gap, trial%3 == 0)
		shape = shape.Transform(geom.Rotate(rnd.Float64() * 7))
		s := rowsOf(shape, diameter, gap)
		name := fmt.Sprintf("shape %d", trial)
		was := s.newSettler().judge(stance{})
		s.settleRows()
		is := s.newSettler().judge(stance{})
		if is.missed > was.missed || is.lame > was.lame || is.limping > was.limping {
			t.Errorf("%s: %+v became %+v", name, was, is)
		}
		before.missed, before.limping = before.missed+was.missed, before.limping+was.limping
		after.missed, after.limping = after.missed+is.missed, after.limping+is.limping
		checkSettled(t, name, s)
	}
	if after.missed*2 > before.missed || after.limping >= before.limping {
		t.Errorf("%d empty corners became %d, %d limping runs %d", before.missed, after.missed, before.limping, after.limping)
	}
}

// checkSettled holds the stones of rows against the rules: their distances, the depth of
// a rim's, of which measures.md asks 0.02 mm, and the symmetry kept.
func checkSettled(t *testing.T, name string, s *site) {
	t.Helper()
	for id, p := range s.pieces {
		if p.role == "" {
			continue
		}
		if !s.clearOfOwn(p.at, id) {
			t.Errorf("%s: the stone at %v is too near to another", name, p.at)
		}
		if off := math.Abs(s.outline.Depth(p.at) - s.depth); p.role == design.RoleRim && off > 0.02 {
			t.Errorf("%s: a rim's stone at %v lies %.3f off its depth", name, p.at, off)
		}
		if s.group == nil {
			continue
		}
		for _, m := range s.group.ops {
			if _, d, ok := s.index.Nearest(m.Apply(p.at), s.pitch, -1); !ok || d > 0.02 {
				t.Errorf("%s: the stone at %v has no image within 0.02 mm", name, p.at)
			}
		}
	}
}

// Two equal rows that meet in a tee: the stone of the corner between them is worth a
// shift of the others, and a stone set by hand beside it is not.
func TestSettleLeavesHandAlone(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(2, 3))
	for trial := range 20 {
		s := rowsOf(branching(rnd, 3.8, false), 2.9, 0.9)
		at := s.pieces[s.rows[0][0]].at
		s.hand = []foreign{{at, 0}}
		s.settleRows()
		if !s.standsAt(at) {
			t.Errorf("shape %d: the stone at %v beside one set by hand has moved", trial, at)
		}
	}
}

// measured gives what the inspection says of the rows of a site.
func measured(s *site) (missed, limping, lame int) {
	r := design.Region{
		ID: "it", Treatment: []design.Treatment{design.Rim, design.Spine}, Size: s.Size, Colour: s.Colour,
		Gap: s.Gap, Pitch: s.Pitch(), Margin: s.Margin,
	}
	for _, ring := range s.Shape.Rings {
		var pairs [][2]float64
		for _, p := range ring {
			pairs = append(pairs, [2]float64{p.X, p.Y})
		}
		r.Rings = append(r.Rings, pairs)
	}
	s.ID = r.ID
	doc := design.Document{
		Version: design.Version, Unit: "mm", Stones: s.finished(), Regions: []design.Region{r},
		Kinds: []design.Kind{{Size: s.Size, Colour: s.Colour, Diameter: s.Diameter, Smallest: s.Diameter, Hole: s.Diameter}},
	}
	row := inspect.Measure(doc).Rows[0]
	for _, run := range row.Runs {
		if run.Stones < 3 {
			continue
		}
		if run.Evenness > runFair {
			limping++
		}
		if run.Evenness > runBad {
			lame++
		}
	}
	return len(row.Missed), limping, lame
}

// Who settles rows reads them as the inspection does (docs/measures.md, M2 and M4),
// before and after.
func TestVerdictIsTheInspections(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(8, 1))
	for trial := range 40 {
		s := rowsOf(branching(rnd, 3.8, trial%4 == 0), 2.9, 0.9)
		for _, when := range []string{"before", "after"} {
			v := s.newSettler().judge(stance{})
			missed, limping, lame := measured(s)
			if v.missed != missed || v.limping != limping || v.lame != lame {
				t.Errorf("shape %d %s: %d corners, %d and %d runs; the inspection finds %d, %d and %d",
					trial, when, v.missed, v.limping, v.lame, missed, limping, lame)
			}
			s.settleRows()
		}
	}
}
