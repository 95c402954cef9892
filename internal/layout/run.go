package layout

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// Run lays out a design. Each region keeps clear of the stones of those before
// it that reach it; regions out of each other's reach are laid side by side.
// progress, which may be nil, is told after each region how many are done; where an
// edit by hand turns out not to apply, the count begins anew. The only error is the
// context's.
func Run(ctx context.Context, req Request, progress func(done, total int)) (Result, error) {
	if req.Memory == nil && len(req.Hand) > 0 { // they may take several rounds
		req.Memory = &Memory{}
	}
	if req.Memory == nil {
		return layAll(ctx, req, progress)
	}
	req.Memory.begin()
	res, err := layAll(ctx, req, progress)
	req.Memory.end(err == nil)
	return res, err
}

// layAll is Run, with a memory that is made ready, if there is one.
func layAll(ctx context.Context, req Request, progress func(done, total int)) (Result, error) {
	if req.frames == nil {
		req.frames = framesOf(req.Regions, req.remembers())
		for _, r := range req.Regions {
			if !r.Shape.Empty() {
				req.areas++
			}
		}
	}
	if len(req.Hand) > 0 {
		return runByHand(ctx, req, progress)
	}
	n := len(req.Regions)
	earlier := neighbours(req.Regions)
	laid := make([]outcome, n)
	ready := make([]chan struct{}, n)
	for i := range ready {
		ready[i] = make(chan struct{})
	}
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var told sync.Mutex
	done := 0
	work, ctx := errgroup.WithContext(ctx)
	for i := range n {
		work.Go(func() error {
			for _, j := range earlier[i] {
				select {
				case <-ready[j]:
				case <-ctx.Done():
					return ctx.Err()
				}
			}
			select {
			case slots <- struct{}{}:
			case <-ctx.Done():
				return ctx.Err()
			}
			defer func() { <-slots }()
			var err error
			if laid[i], err = layRegion(ctx, req, i, earlier[i], laid); err != nil {
				return err
			}
			close(ready[i])
			told.Lock()
			defer told.Unlock()
			if done++; progress != nil {
				progress(done, n)
			}
			return nil
		})
	}
	if err := work.Wait(); err != nil {
		return Result{}, err
	}
	return gathered(req, laid), nil
}

// remembers says whether what is laid may serve again.
func (req Request) remembers() bool { return req.Memory != nil || req.Repeats != nil }

// layRegion lays one region among the stones of the given earlier ones: as it would be
// laid alone, if those are far enough away for it, so that it looks the same wherever
// it stands.
func layRegion(ctx context.Context, req Request, i int, earlier []int, laid []outcome) (outcome, error) {
	t := req.taskOf(i, earlier, laid)
	if t.standsFree() {
		alone := t
		alone.before, alone.others = nil, nil
		r, err := req.recall(ctx, alone)
		if err != nil {
			return outcome{}, err
		}
		if t.clear(r.site) {
			return req.brought(i, alone, r.outcome), nil
		}
	}
	r, err := req.recall(ctx, t)
	if err != nil {
		return outcome{}, err
	}
	return req.brought(i, t, r.outcome), nil
}

// gathered puts the regions' stones together in the order of the regions.
func gathered(req Request, laid []outcome) Result {
	var res Result
	for i, o := range laid {
		res.Stones = append(res.Stones, o.stones...)
		res.Treatments = append(res.Treatments, slices.Clone(o.did))
		if r := req.Regions[i]; len(o.stones) == 0 {
			res.Notes = append(res.Notes, Note{Code: "region-empty", Region: r.ID, Message: emptyMessage(r)})
		}
	}
	return res
}

// neighbours lists for each region the earlier ones whose stones can reach it.
func neighbours(regions []Region) [][]int {
	out := make([][]int, len(regions))
	boxes := make([]geom.Box, len(regions))
	for i, r := range regions {
		// A spine's stones may stand over the outline by their radius.
		diameter, gap := r.widest()
		boxes[i] = r.bounds().Grow(diameter/2 + gap)
		for j := range i {
			if boxes[i].Overlaps(boxes[j]) {
				out[i] = append(out[i], j)
			}
		}
	}
	return out
}

// emptyMessage says why a region has no stone and what to do.
func emptyMessage(r Region) string {
	return fmt.Sprintf("no %s stone fits here: make the design wider, choose a smaller stone, or give the region the treatment [spine]", r.Size)
}

// reachable picks the stones laid in an earlier region that can stand in the way of
// one, with the distance to keep: half of both diameters and the larger of both gaps.
func reachable(r, e Region, stones []design.Stone) []foreign {
	diameter, gap := r.widest()
	wide, apart := e.widest()
	box := r.bounds().Grow(diameter + wide/2 + math.Max(gap, apart))
	var out []foreign
	for _, st := range stones {
		if at := (geom.Point{X: st.X, Y: st.Y}); st.Role != design.RoleHand && box.Overlaps(geom.Bounds([]geom.Point{at})) {
			out = append(out, foreign{at, r.reachOf(e.kindOf(st))})
		}
	}
	return out
}

// bounds gives the box of the region's area or lines.
func (r Region) bounds() geom.Box {
	box := r.Shape.Bounds()
	for _, l := range r.Lines {
		box = box.Join(geom.Bounds(l))
	}
	return box
}

// yield draws the path of the rows in where earlier regions touch or overlap
// this one, so that a row runs beside theirs and not into it.
func (s *site) yield(t task) {
	if s.outline == nil {
		return
	}
	for _, n := range t.before {
		if !t.mayYield(n) {
			continue
		}
		e := n.region()
		keep := s.keepFrom(e)
		if !e.comesNear(s.path, keep+e.Diameter/2) {
			continue
		}
		taken := s.made.inset(e.Shape, -keep, insetTol)
		if len(e.Lines) > 0 {
			style := geom.StrokeStyle{Width: 2*keep + e.Diameter, Cap: geom.RoundCap, Join: geom.RoundJoin}
			taken = geom.Stroke(e.Lines, make([]bool, len(e.Lines)), style, insetTol)
		}
		s.path = s.made.subtract(s.path, taken)
	}
}

// lay sets one region and says what was done with it.
func (s *site) lay(ctx context.Context, effort Effort) ([]design.Treatment, error) {
	if s.outline == nil {
		s.layLines()
		s.endRows(nil)
		return s.roles(), nil
	}
	auto := len(s.Treatment) == 0
	has := func(t design.Treatment) bool { return auto || slices.Contains(s.Treatment, t) }
	groups := s.symmetryToKeep()
	if len(groups) > 0 {
		s.group = groups[0]
	}
	var spines []spine
	if has(design.Spine) {
		spines = s.spines(!has(design.Rim) && !has(design.Bed))
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.toCorners(spines)
	if has(design.Rim) {
		s.setRim(spines)
	}
	s.setSpines(spines)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if has(design.Rim) || auto {
		s.setLone()
	}
	s.keepSymmetry(groups)
	s.mendRims()
	if has(design.Rim) {
		s.settleRows()
	}
	s.endRows(spines)
	var err error
	if has(design.Bed) {
		err = s.layBed(ctx, effort)
	}
	if has(design.Bed) && err == nil {
		_, err = s.fillMirrors(ctx)
	}
	if err != nil || !auto {
		return s.Treatment, err
	}
	return s.roles(), nil
}

// layBed fills what the rows leave.
func (s *site) layBed(ctx context.Context, effort Effort) error {
	switch s.Bed {
	case design.Echo:
		return s.layEcho(ctx)
	case design.Courses:
		return s.layCourses(ctx)
	case design.Scatter:
		return s.layScatter(ctx)
	case design.Spokes:
		return s.laySpokes(ctx)
	}
	return s.layComb(ctx, effort)
}

// layLines sets a row along each open line of the region; a line that ends where
// it began is a loop.
func (s *site) layLines() {
	tracks, loops := make([]track, len(s.Lines)), make([]bool, len(s.Lines))
	for i, l := range s.Lines {
		tracks[i], loops[i] = s.lineTrack(l)
	}
	joints := s.joinLines(tracks, loops)
	for i, t := range tracks {
		switch {
		case len(t.points) < 2:
		case loops[i]:
			s.layLoop(t, joints[i])
		default:
			s.layOpen(t, joints[i])
		}
	}
}

// lineClosed is how near to each other, in pitches, the ends of a line are one place.
const lineClosed = 0.01

// lineTrack gives the track of an open line, closed if it is a loop.
func (s *site) lineTrack(l geom.Line) (t track, loop bool) {
	t = newTrack(l, false)
	n := len(t.points)
	if n < 2 || t.points[0].Dist(t.points[n-1]) >= lineClosed*s.pitch {
		return t, false
	}
	return newTrack(t.points[:n-1], true), true
}

// layLoop sets a closed line: from corner or joint to the next, or evenly around.
func (s *site) layLoop(t track, joints []float64) {
	pins := s.lineStops(t, slices.Concat(t.pins(s.pitch, 0, false), joints))
	if len(pins) == 0 {
		s.putRow(t.evenly(s.pitch+slack, 1), design.RoleSpine)
		return
	}
	s.layPinned(t, append(slices.Clone(pins), pins[0]+t.total()))
}

// layOpen sets an open line: a stone at each end, corner and joint, equal steps between.
func (s *site) layOpen(t track, joints []float64) {
	stops := []float64{0}
	for _, v := range s.lineStops(t, slices.Concat(t.openCorners(s.pitch), joints)) {
		if v > s.pitch && v < t.total()-s.pitch {
			stops = append(stops, v)
		}
	}
	s.layPinned(t, append(stops, t.total()))
}

// layPinned sets a stone on each stop and equal steps between neighbours.
func (s *site) layPinned(t track, stops []float64) {
	first := len(s.rows)
	for _, v := range stops {
		s.putRow([]geom.Point{t.loopEnd(v)}, design.RoleSpine)
	}
	for i := 0; i+1 < len(stops); i++ {
		s.setOpen(t.cut(stops[i], stops[i+1]), [2]bool{true, true}, design.RoleSpine)
	}
	s.joinRows(first)
}

// setLone gives each part of the allowed set that holds no stone yet, too small
// for a row, one stone at its deepest place.
func (s *site) setLone() {
	for _, part := range s.path.Components() {
		if part.Perimeter() > 2*math.Pi*s.pitch || s.anyIn(part) {
			continue
		}
		if p := round(deepest(part)); s.free(p) {
			s.put(p, design.RoleBed)
		}
	}
}

// anyIn says whether a stone lies in or on the part.
func (s *site) anyIn(part geom.Shape) bool {
	b, box := geom.NewBoundary(part), part.Bounds()
	low, high := geom.Point{X: box.MinX, Y: box.MinY}, geom.Point{X: box.MaxX, Y: box.MaxY}
	found := false
	s.index.Each(low.Lerp(high, 0.5), low.Dist(high)/2+rimEase, func(_ int, at geom.Point) bool {
		found = b.Inside(at) || b.Within(at, rimEase)
		return !found
	})
	return found
}

// deepest gives the place of a small area that is farthest from its outline.
func deepest(part geom.Shape) geom.Point {
	best, at := -1.0, part.Rings[0][0]
	for _, n := range geom.CentreLine(part, geom.CentreOptions{}).Nodes {
		if n.Radius > best {
			best, at = n.Radius, n.Point
		}
	}
	return at
}

// roles lists the treatments that the stones of the region came from.
func (s *site) roles() []design.Treatment {
	var out []design.Treatment
	for _, t := range []design.Treatment{design.Rim, design.Spine, design.Bed} {
		if slices.ContainsFunc(s.pieces, func(p piece) bool { return p.role == design.Role(t) }) ||
			slices.ContainsFunc(s.accents, func(a accent) bool { return a.role == design.Role(t) }) {
			out = append(out, t)
		}
	}
	return out
}
