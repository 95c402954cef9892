// Package advise says, before any work is done, what stones a drawing can carry
// at a width: its thinnest stroke and finest gap, and for each size of stone what
// reads at arm's length, what is lost, and the smallest width that still reads.
// It lays the drawing out in earnest for every answer that it gives.
package advise

import (
	"context"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// What reads. The limit of the whole is the target of M10 (docs/measures.md);
// that of one region is chosen by eye: below it a stroke has lost an end or one of
// its rows.
const (
	ReadsWhole  = 0.90
	ReadsRegion = 0.75
)

// Options say how wide the design shall be (mm), which sizes are asked about, in
// the order of the answer, and the least flock between two holes (mm), from
// which the gaps between the stones follow.
type Options struct {
	Width   float64
	Sizes   []catalogue.Size
	Web     float64
	Letters []Letters // what lettering the drawing has; Reads is left empty
	Far     bool      // look far above the least width that holds everything for one that reads
}

// Everyday gives the sizes that are tried when none is named: the everyday ones
// for letters and logos.
func Everyday() []catalogue.Size {
	var out []catalogue.Size
	for _, s := range catalogue.Sizes() {
		if s.Everyday && s.Largest <= largestForLogos {
			out = append(out, s)
		}
	}
	return out
}

// largestForLogos leaves out the everyday sizes for tumblers and badge reels, in
// mm: SS16 is the largest for lettering and logos (common practice).
const largestForLogos = 4.0

// Report is the advice. Lengths are mm. Thinnest and Finest are nil where the
// drawing has no area, or no gap. Best is the size that Recommendation names,
// empty if none will do.
type Report struct {
	Recommendation string    `json:"recommendation"`
	Best           string    `json:"best"`
	Width          float64   `json:"width_mm"`
	Height         float64   `json:"height_mm"`
	Thinnest       *Stroke   `json:"thinnest_stroke"`
	Finest         *Gap      `json:"finest_gap"`
	Tips           []Tip     `json:"pointed_ends"`
	Sizes          []Verdict `json:"sizes"`
	Letters        []Letters `json:"letters"`
}

// Stroke is the thinnest place of a region that is no pointed end.
type Stroke struct {
	Region string  `json:"region"`
	Width  float64 `json:"width_mm"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
}

// Gap is the narrowest place between two regions, or between two sides of one:
// then Other is the same region.
type Gap struct {
	Region string  `json:"region"`
	Other  string  `json:"other"`
	Width  float64 `json:"width_mm"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
}

// Tip is a pointed end of a region: where it ends, how long it tapers, and how
// wide the shape is where it has stopped tapering.
type Tip struct {
	Region string  `json:"region"`
	Length float64 `json:"length_mm"`
	Base   float64 `json:"base_mm"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
}

// Grade says in a word how a size does at the width.
type Grade string

// The grades.
const (
	Reads       Grade = "reads"
	LosesDetail Grade = "loses details" // the whole reads, something in it does not
	Unreadable  Grade = "does not read"
)

// Verdict is the advice on one size. FillsStroke is the thinnest stroke that
// holds a whole stone, ShowsGap the finest gap that is wider than the holes
// between stones of a full bed. Rows is how many rows lie side by side in the
// thinnest stroke, 0 if a stone stands over its edges; RowShares are the shares
// of all strokes, by length, with no whole row, one, two, and three or more.
// Whole is M10 of the whole, nil for a drawing of lines alone. Smallest is the
// least width, in mm, at which everything was found to read, ReadsAt the least of
// them not under the width asked for; 0 if none was found.
type Verdict struct {
	Size        string        `json:"size"`
	Grade       Grade         `json:"grade"`
	FillsStroke float64       `json:"fills_stroke_mm"`
	ShowsGap    float64       `json:"shows_gap_mm"`
	Rows        int           `json:"rows_in_thinnest"`
	RowShares   [4]float64    `json:"row_shares"`
	Stones      int           `json:"stones"`
	Whole       *float64      `json:"reads"`
	Regions     []RegionReads `json:"regions"`
	Lost        []Loss        `json:"lost"`
	Smallest    float64       `json:"smallest_width_mm"`
	ReadsAt     float64       `json:"reads_at_width_mm"`
}

// RegionReads is M10 of one region; Reads is nil for open lines.
type RegionReads struct {
	Region string   `json:"region"`
	Stones int      `json:"stones"`
	Reads  *float64 `json:"reads"`
}

// Run gives the advice on a drawing as its reader made it. The same drawing and
// options give the same advice on any number of cores. progress, which may be
// nil, hears how many of the layouts are done, of as many as there may be.
// Faults: "stone-missing" without a size, those of artwork.FitWidth, and the
// context's error.
func Run(ctx context.Context, d artwork.Drawing, opt Options, progress func(done, total int)) (Report, error) {
	if len(opt.Sizes) == 0 {
		return Report{}, fault.New("stone-missing", "", "say which stone sizes the advice is about")
	}
	a, err := newAdviser(ctx, d, opt)
	if err != nil {
		return Report{}, err
	}
	meter := newMeter(len(opt.Sizes)*opt.layouts(), progress)
	verdicts := make([]Verdict, len(opt.Sizes))
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i, size := range opt.Sizes {
		work.Go(func() (err error) {
			verdicts[i], err = a.judge(ctx, size, meter)
			return err
		})
	}
	if err := work.Wait(); err != nil {
		return Report{}, err
	}
	r := Report{Width: a.width, Height: a.height, Thinnest: a.thinnest, Finest: a.finest(), Tips: listed(a.tips), Sizes: verdicts}
	r.lettersRead(opt.Letters)
	r.recommend()
	return r, nil
}

// GradeAt says how one size does at a width (mm), as Run's verdict on it does, without
// looking for other widths; web is the least flock between two holes, mm. Faults are
// those of Run.
func GradeAt(ctx context.Context, d artwork.Drawing, size catalogue.Size, width, web float64) (Grade, error) {
	a, err := newAdviser(ctx, d, Options{Width: width, Web: web})
	if err != nil {
		return "", err
	}
	t, err := a.try(ctx, size, width)
	if err != nil {
		return "", err
	}
	a.measure(&t)
	return t.grade(), nil
}

// listed gives a list that JSON writes as [] where it is empty, not as null.
func listed[T any](list []T) []T { return append([]T{}, list...) }

// meter counts layouts over all sizes for progress.
type meter struct {
	mu          sync.Mutex
	tell        func(done, total int)
	done, total int
}

func newMeter(total int, tell func(done, total int)) *meter {
	return &meter{tell: tell, total: total}
}

// add counts n layouts as done, or as not needed.
func (m *meter) add(n int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.done += n; m.tell != nil {
		m.tell(m.done, m.total)
	}
}
