package advise

import (
	"context"
	"math"

	"brushfall/internal/catalogue"
)

// The search for widths that read. First the least width is sought, by halves,
// at which every region has stones and every gap stays open: a drawing that
// holds them at one width holds them at larger ones, save by a whole stone's jump
// here and there. What reads goes up and down with the width, as strokes are
// just wide enough, or just too narrow, for one more row: from a width that holds
// everything, wider ones are tried in steps until all of it reads. So what is
// found was laid out and reads, and nothing is said of widths between.
const (
	// shrink and widen are the steps that bracket the least width that holds.
	shrink = 0.8
	widen  = 1.3
	// fine ends that search, as a share of the width; stepMM is what answers are whole in.
	fine   = 0.025
	stepMM = 1.0
	// stride is the step, as a share of the width, of the way to one that reads.
	stride = 0.04
	// fewLayouts bounds the layouts for one size, without strides: the first, those of a bracket from
	// above (mostShrink, to 3 % of the width) or from below (mostWiden, to 3.7 times
	// the width), and at most five halvings.
	// Lettering is looked after farther, farStrides: to 4.4 times the least that holds.
	fewLayouts  = 1 + mostShrink + 5
	mostShrink  = 16
	mostWiden   = 5
	mostStrides = 8
	farStrides  = 38
	// mostStones leaves the search out for designs that take long to lay.
	mostStones = 20_000
)

// strides bounds those of one way to a width that reads.
func (o Options) strides() int {
	if o.Far {
		return farStrides
	}
	return mostStrides
}

// layouts bounds the layouts for one size.
func (o Options) layouts() int { return fewLayouts + 2*o.strides() }

// judge gives the verdict on one size.
func (a *adviser) judge(ctx context.Context, size catalogue.Size, m *meter) (Verdict, error) {
	s := search{a: a, size: size, meter: m, known: map[float64]bool{}}
	first, err := a.try(ctx, size, a.width)
	if err != nil {
		return Verdict{}, err
	}
	a.measure(&first)
	s.count(1)
	v := Verdict{
		Size: size.Name, Grade: first.grade(), FillsStroke: fills(size), ShowsGap: voidIn(size, a.opt.Web),
		RowShares: a.rowShares(size), Stones: first.stones, Whole: first.whole, Regions: listed(first.regions), Lost: listed(first.lost),
	}
	if a.thinnest != nil {
		v.Rows = rowsIn(a.thinnest.Width, size, a.opt.Web)
	}
	s.known[a.width] = v.Grade == Reads
	if first.stones <= mostStones {
		v.Smallest, v.ReadsAt, err = s.widths(ctx, first.holds())
	} else if v.Grade == Reads {
		v.ReadsAt = a.width
	}
	s.count(a.opt.layouts() - s.tried)
	return v, err
}

// search lays one size out at several widths.
type search struct {
	a     *adviser
	size  catalogue.Size
	meter *meter
	tried int
	known map[float64]bool // widths that were measured: whether all reads
	most  int              // stones of the largest of them
	last  attempt          // the last that held everything: the least so far
}

func (s *search) count(n int) {
	s.tried += n
	s.meter.add(n)
}

// holds says whether the drawing holds everything at a width. A dot too small for
// its stones is told without a layout.
func (s *search) holds(ctx context.Context, width float64) (bool, int, error) {
	if s.a.losesDot(s.size, width/s.a.width) {
		return false, 0, ctx.Err()
	}
	t, err := s.a.try(ctx, s.size, width)
	s.count(1)
	if t.holds() {
		s.last = t
	}
	return t.holds(), t.stones, err
}

// reads says whether everything reads at a width.
func (s *search) reads(ctx context.Context, width float64) (bool, error) {
	if good, known := s.known[width]; known {
		return good, nil
	}
	t := s.last
	if t.scale != width/s.a.width {
		var err error
		if t, err = s.a.try(ctx, s.size, width); err != nil {
			return false, err
		}
		s.count(1)
	}
	s.a.measure(&t)
	s.known[width], s.most = t.grade() == Reads, max(s.most, t.stones)
	return s.known[width], nil
}

// widths gives the least width, in mm, at which everything was found to read, and
// the least not under the width asked for; 0 for one that was not found. holds
// tells of the width asked for.
func (s *search) widths(ctx context.Context, holds bool) (smallest, next float64, err error) {
	from, err := s.leastThatHolds(ctx, holds)
	if err != nil || from == 0 {
		return 0, 0, err
	}
	if smallest, err = s.firstThatReads(ctx, from); err != nil {
		return 0, 0, err
	}
	if s.a.opt.Far && (smallest == 0 || smallest >= s.a.width) {
		return smallest, smallest, nil // it would only go the same way again
	}
	if next, err = s.firstThatReads(ctx, math.Max(from, s.a.width)); err != nil {
		return 0, 0, err
	}
	if smallest == 0 {
		smallest = next
	}
	return smallest, next, nil
}

// leastThatHolds gives the least width that holds everything, in whole mm but for
// the one asked for; 0 if none was found.
func (s *search) leastThatHolds(ctx context.Context, holds bool) (float64, error) {
	more, less, err := s.bracket(ctx, holds)
	if err != nil {
		return 0, err
	}
	for more-less > math.Max(stepMM, fine*more) {
		middle := math.Round((more+less)/2/stepMM) * stepMM
		if middle <= less || middle >= more {
			break
		}
		good, _, err := s.holds(ctx, middle)
		if err != nil {
			return 0, err
		}
		if good {
			more = middle
		} else {
			less = middle
		}
	}
	return more, nil
}

// bracket gives a width that holds everything and a smaller one that does not;
// twice the same if no smaller one was found, 0 and 0 if none holds everything.
func (s *search) bracket(ctx context.Context, holds bool) (more, less float64, err error) {
	at := s.a.width
	if holds {
		for range mostShrink {
			less := math.Floor(at*shrink/stepMM) * stepMM
			if less < stepMM {
				break
			}
			good, _, err := s.holds(ctx, less)
			if err != nil || !good {
				return at, less, err
			}
			at = less
		}
		return at, at, nil
	}
	for range mostWiden {
		more := math.Ceil(at*widen/stepMM) * stepMM
		good, stones, err := s.holds(ctx, more)
		if err != nil || good {
			return more, at, err
		}
		if at = more; stones > mostStones {
			break
		}
	}
	return 0, 0, nil
}

// firstThatReads gives the first width from here on at which everything reads, in
// strides; 0 if it is not near.
func (s *search) firstThatReads(ctx context.Context, width float64) (float64, error) {
	for range s.a.opt.strides() {
		good, err := s.reads(ctx, width)
		if err != nil || good {
			return width, err
		}
		if s.most > mostStones {
			break
		}
		width = math.Ceil(width*(1+stride)/stepMM) * stepMM
	}
	return 0, nil
}
