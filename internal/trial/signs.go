package trial

import (
	"context"
	"fmt"
	"runtime"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/advise"
	"brushfall/internal/artwork"
	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

// Characters are those that every shipped face is tried with.
const Characters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&!?'-"

// SignHeights are the heights of a capital, in mm, that they are tried at.
func SignHeights() []float64 { return []float64{20, 40, 80} }

// Sign is one character of a face in stones of a size. Broken counts the rules that
// its layout breaks, Room the places that one more stone has room at; Reads is M10,
// nil for a face of lines. Advised is what the advice says of it at this height.
type Sign struct {
	Face      string
	Character rune
	Capital   float64 // height of a capital, mm
	Size      catalogue.Size
	Area      layout.Region // its outline, or its lines
	Stones    []design.Stone
	Broken    int
	Room      int
	Reads     *float64
	Advised   advise.Grade
}

// Signs lists the characters of each face in every size at every height.
func Signs(faces []*lettering.Face, characters string, heights []float64) ([]Sign, error) {
	var out []Sign
	for _, f := range faces {
		for _, height := range heights {
			for _, name := range sizes() {
				size, err := catalogue.FindSize(name)
				if err != nil {
					return nil, err
				}
				for _, c := range characters {
					out = append(out, Sign{Face: f.Name(), Character: c, Capital: height, Size: size})
				}
			}
		}
	}
	return out, nil
}

// Name tells a sign from all others: "Lora Bold g 40 mm SS6".
func (s Sign) Name() string {
	return fmt.Sprintf("%s %c %g mm %s", s.Face, s.Character, s.Capital, s.Size.Name)
}

// TrySigns lays signs out and measures them, as many at once as there are cores, and
// asks the advice of each if judged. progress may be nil. The faults are those of the
// lettering and the advice, and the context's error.
func TrySigns(ctx context.Context, signs []Sign, effort layout.Effort, judged bool, progress func()) error {
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i := range signs {
		work.Go(func() error {
			err := signs[i].try(ctx, effort, judged)
			if err == nil && progress != nil {
				progress()
			}
			return err
		})
	}
	return work.Wait()
}

// drawn sets the sign.
func (s *Sign) drawn() (artwork.Drawing, error) {
	p := lettering.DefaultPiece(string(s.Character))
	p.Face, p.Height = s.Face, lettering.Measure{MM: s.Capital}
	d, _, err := lettering.Compose(artwork.Drawing{}, lettering.Sheet{Pieces: []lettering.Piece{p}})
	return d, err
}

func (s *Sign) try(ctx context.Context, effort layout.Effort, judged bool) error {
	d, err := s.drawn()
	if err != nil {
		return err
	}
	gap := s.Size.Gap(catalogue.Web)
	req := layout.Request{Effort: effort}
	for _, r := range d.Regions {
		req.Regions = append(req.Regions, layout.Region{
			ID: r.ID, Shape: r.Shape, Lines: r.Lines, Bed: design.Comb,
			Size: s.Size.Name, Colour: colour, Diameter: s.Size.Largest, Gap: gap,
		})
	}
	res, err := layout.Run(ctx, req, nil)
	if err != nil {
		return err
	}
	s.Stones, s.Area = res.Stones, req.Regions[0]
	doc := record(req, res)
	for _, f := range inspect.InspectStones(doc) {
		if f.ID == inspect.Room {
			s.Room++
		} else {
			s.Broken++
		}
	}
	s.Reads = inspect.MeasureReads(doc).Total.Reads
	if judged && d.Width > 0 { // the advice goes by widths, and the I of lines has none
		s.Advised, err = advise.GradeAt(ctx, d, s.Size, d.Width, catalogue.Web)
	}
	return err
}
