package advise

import (
	"context"
	"math"

	"brushfall/internal/catalogue"
)

// The search for the smallest width that reads. Losing no detail is sought by
// halves, for a drawing that loses none at one width loses none at larger ones,
// save by a whole stone's jump here and there; so the answer holds for the widths
// that were tried only. The whole can read less at one width and more at
// smaller ones, where strokes are just too narrow for another row: from the
// least width that loses nothing, wider ones are tried until the whole reads.
const (
	// shrink and widen are the steps that bracket the answer.
	shrink = 0.8
	widen  = 1.3
	// fine ends the search, as a share of the width; stepMM is what answers are whole in.
	fine   = 0.025
	stepMM = 1.0
	// mostLayouts bounds the layouts for one size; mostWiden those of them that
	// are wider than asked for, mostMend those that are tried until the whole reads.
	mostLayouts = 26
	mostWiden   = 5
	mostMend    = 6
	// mostStones leaves the search out for designs that take long to lay.
	mostStones = 20_000
)

// judge gives the verdict on one size.
func (a *adviser) judge(ctx context.Context, size catalogue.Size, m *meter) (Verdict, error) {
	s := search{a: a, size: size, meter: m}
	first, err := s.at(ctx, a.width, true)
	if err != nil {
		return Verdict{}, err
	}
	v := Verdict{
		Size: size.Name, Grade: first.grade(), FillsStroke: fills(size), ShowsGap: voidIn(size, a.opt.Web),
		RowShares: a.rowShares(size), Stones: first.stones, Whole: first.whole, Regions: first.regions, Lost: first.lost,
	}
	if thin := a.thinnest(); thin != nil {
		v.Rows = rowsIn(thin.Width, size, a.opt.Web)
	}
	if first.stones <= mostStones {
		v.Smallest, err = s.smallest(ctx, first)
	}
	m.add(mostLayouts - s.tried)
	return v, err
}

// search lays one size out at several widths.
type search struct {
	a     *adviser
	size  catalogue.Size
	meter *meter
	tried int
	good  map[float64]bool // the widths that were tried: whether all reads
}

// at lays the size out at a width, unless a dot is too small for its stones there.
func (s *search) at(ctx context.Context, width float64, all bool) (attempt, error) {
	if !all && s.a.losesDot(s.size, width/s.a.width) {
		return attempt{broken: true}, ctx.Err()
	}
	t, err := s.a.try(ctx, s.size, width, all)
	s.tried++
	s.meter.add(1)
	if s.good != nil {
		s.good[width] = t.clean()
	}
	return t, err
}

// smallest gives the least width, in mm, at which everything reads; 0 if none was
// found. first is what came of the width asked for.
func (s *search) smallest(ctx context.Context, first attempt) (float64, error) {
	s.good = map[float64]bool{s.a.width: first.clean()}
	set, not, err := s.bracket(ctx, first.whollySet())
	if err != nil || set == 0 {
		return 0, err
	}
	for set-not > math.Max(stepMM, fine*set) {
		middle := math.Round((set+not)/2/stepMM) * stepMM
		if middle <= not || middle >= set {
			break
		}
		t, err := s.at(ctx, middle, false)
		if err != nil {
			return 0, err
		}
		if t.whollySet() {
			set = middle
		} else {
			not = middle
		}
	}
	return s.mend(ctx, set)
}

// bracket gives a width that loses nothing and a smaller one that does, in whole
// mm but for the one asked for; 0 and 0 if none was found.
func (s *search) bracket(ctx context.Context, set bool) (more, less float64, err error) {
	at := s.a.width
	if set {
		for {
			less := math.Floor(at*shrink/stepMM) * stepMM
			if less < stepMM {
				return at, at, nil
			}
			t, err := s.at(ctx, less, false)
			if err != nil {
				return 0, 0, err
			}
			if !t.whollySet() {
				return at, less, nil
			}
			at = less
		}
	}
	for range mostWiden {
		more := math.Ceil(at*widen/stepMM) * stepMM
		t, err := s.at(ctx, more, false)
		if err != nil {
			return 0, 0, err
		}
		if t.whollySet() {
			return more, at, nil
		}
		if at = more; t.stones > mostStones {
			break
		}
	}
	return 0, 0, nil
}

// mend gives the first width from here on at which the whole reads too, by
// steps of the search's fineness; 0 if it is not near.
func (s *search) mend(ctx context.Context, width float64) (float64, error) {
	for range mostMend {
		good, known := s.good[width]
		if !known {
			t, err := s.at(ctx, width, false)
			if err != nil {
				return 0, err
			}
			good = t.clean()
		}
		if good {
			return width, nil
		}
		width = math.Ceil(width*(1+fine)/stepMM) * stepMM
	}
	return 0, nil
}
