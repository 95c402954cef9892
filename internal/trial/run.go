package trial

import (
	"context"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// Setting is a way of asking for a layout.
type Setting struct {
	Name      string
	Treatment []design.Treatment // nil: chosen by the width of the strokes
	Effort    layout.Effort
}

// The settings by their place in Settings and in Trial.Laid.
const (
	AutoLive = iota
	AutoFinal
	FullLive
	FullFinal
	settings
)

// Settings lists how every case is laid: treatments chosen by the program, and
// an unbroken rim with a bed everywhere, each at both efforts.
func Settings() [settings]Setting {
	full := []design.Treatment{design.Rim, design.Bed}
	return [settings]Setting{
		AutoLive:  {"auto live", nil, layout.Live},
		AutoFinal: {"auto final", nil, layout.Final},
		FullLive:  {"rim+bed live", full, layout.Live},
		FullFinal: {"rim+bed final", full, layout.Final},
	}
}

// Laid is the layout of a case and its measures. Broken holds the broken rules
// without those that say that a bed has room, which are Row.Room; Places has those.
// Done is false for a setting that was not tried.
type Laid struct {
	Done    bool
	Row     inspect.Row
	Stones  []design.Stone
	Broken  []inspect.Finding
	Places  []inspect.Finding
	Seconds float64
}

// Trial is all that was found of a case. Plain holds the layouts of the plain
// ways, Honeycomb the stones of the first; Bound is what no packing of the
// allowed centres can exceed. Strokes is the share of the area that lies in
// strokes at least a stone wide.
type Trial struct {
	Case      Case
	Laid      [settings]Laid
	Plain     [ways]Laid
	Honeycomb int
	Bound     float64
	Strokes   float64
}

// The plain ways of setting stones by their place in Trial.Plain.
const (
	Clipped = iota // the best clipped honeycomb
	Rows           // rows without repair
	Framed         // a row along the border, and the best honeycomb clipped to what it leaves
	Random         // maximal Poisson-disk sampling
	ways
)

// poissonSeed makes the random baseline the same in every run.
const poissonSeed = 1

// Run tries all cases under the settings that are listed by their place in
// Settings, as many cases at once as there are cores. clock gives seconds
// from any start; progress, which may be nil, is told of every case done. The
// result is in the order of the cases. The only error is the context's.
func Run(ctx context.Context, cases []Case, under []int, clock func() float64, progress func()) ([]Trial, error) {
	out := make([]Trial, len(cases))
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i, c := range cases {
		work.Go(func() error {
			var err error
			out[i], err = tryCase(ctx, c, under, clock)
			if err == nil && progress != nil {
				progress()
			}
			return err
		})
	}
	return out, work.Wait()
}

func tryCase(ctx context.Context, c Case, under []int, clock func() float64) (Trial, error) {
	t := Trial{Case: c}
	p := c.Pitch()
	allowed := geom.Inset(c.Area, c.Diameter/2, chordError)
	rows, outer := OffsetRows(allowed, p)
	t.Plain = [ways]Laid{
		Clipped: plain(c, Honeycomb(allowed, p), 0),
		Rows:    plain(c, rows, outer),
		Framed:  plain(c, FramedHoneycomb(rows[:outer], allowed, p), outer),
		Random:  plain(c, Poisson(allowed, p, poissonSeed), 0),
	}
	t.Honeycomb = len(t.Plain[Clipped].Stones)
	t.Bound = inspect.PackingBound(allowed.Area(), allowed.Perimeter(), allowed.Euler(), p)
	t.Strokes = geom.Inset(allowed, -c.Diameter/2, chordError).Area() / c.Area.Area()
	for _, i := range under {
		start := clock()
		res, req, err := Lay(ctx, c, Settings()[i])
		if err != nil {
			return t, err
		}
		took := clock() - start
		t.Laid[i] = judge(record(req, res))
		t.Laid[i].Seconds = took
	}
	return t, nil
}

// Lay lays one case out.
func Lay(ctx context.Context, c Case, s Setting) (layout.Result, layout.Request, error) {
	req := c.request(s)
	res, err := layout.Run(ctx, req, nil)
	return res, req, err
}

// colour is that of all stones here.
const colour = "crystal"

func (c Case) request(s Setting) layout.Request {
	return layout.Request{Effort: s.Effort, Regions: []layout.Region{{
		ID: c.Name(), Shape: c.Area, Treatment: s.Treatment, Bed: design.Comb,
		Size: c.Size, Colour: colour, Diameter: c.Diameter, Gap: c.Gap,
	}}}
}

// plain judges stones that were set without the program, the first rim of them
// as a rim.
func plain(c Case, points []geom.Point, rim int) Laid {
	req := c.request(Setting{})
	res := layout.Result{Treatments: [][]design.Treatment{{design.Rim, design.Bed}}}
	for i, p := range points {
		role := design.RoleBed
		if i < rim {
			role = design.RoleRim
		}
		res.Stones = append(res.Stones, design.Stone{X: p.X, Y: p.Y, Size: c.Size, Colour: colour, Region: c.Name(), Role: role})
	}
	return judge(record(req, res))
}

// judge inspects and measures a record of one region.
func judge(doc design.Document) Laid {
	out := Laid{Done: true, Row: inspect.Measure(doc).Rows[0], Stones: doc.Stones}
	for _, f := range inspect.InspectStones(doc) {
		if f.ID == inspect.Room {
			out.Places = append(out.Places, f)
		} else {
			out.Broken = append(out.Broken, f)
		}
	}
	out.Row.Broken = len(out.Broken)
	return out
}

// record puts a layout into the form that is inspected, without plates.
func record(req layout.Request, res layout.Result) design.Document {
	doc := design.Document{Version: design.Version, Unit: "mm", Stones: res.Stones}
	for i, r := range req.Regions {
		doc.Kinds = append(doc.Kinds, design.Kind{Size: r.Size, Colour: r.Colour, Diameter: r.Diameter, Smallest: r.Diameter, Hole: r.Diameter})
		doc.Regions = append(doc.Regions, design.Region{
			ID: r.ID, Rings: pairs(r), Open: len(r.Lines) > 0, Treatment: res.Treatments[i], Bed: r.Bed, Density: r.Sparse(),
			Size: r.Size, Colour: r.Colour, Gap: r.Gap, Pitch: r.Pitch(), Margin: r.Margin,
		})
	}
	return doc
}

// pairs gives the outlines or lines of a region as the record holds them.
func pairs(r layout.Region) [][][2]float64 {
	var out [][][2]float64
	add := func(points []geom.Point) {
		var ring [][2]float64
		for _, p := range points {
			ring = append(ring, [2]float64{p.X, p.Y})
		}
		out = append(out, ring)
	}
	for _, ring := range r.Shape.Rings {
		add(ring)
	}
	for _, l := range r.Lines {
		add(l)
	}
	return out
}

// leastFilled is the number of stones of the best honeycomb from which on a
// shape counts as filled and not as a row.
const leastFilled = 30

// gain gives the stones that fill the case ÷ those of the best honeycomb; NaN
// for a case too small to compare.
func (t *Trial) gain(stones int) float64 {
	if t.Honeycomb < leastFilled {
		return math.NaN()
	}
	return float64(stones) / float64(t.Honeycomb)
}
