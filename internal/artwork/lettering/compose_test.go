package lettering

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// near is how well sizes are met, in mm: twice the chord error of the letters.
const near = 0.02

func piece(text, face string, set func(*Piece)) Piece {
	p := DefaultPiece(text)
	p.Face = face
	if set != nil {
		set(&p)
	}
	return p
}

// compose sets pieces without artwork and checks what a drawing guarantees.
func compose(t *testing.T, s Sheet) (artwork.Drawing, []Set) {
	t.Helper()
	d, sets, err := Compose(artwork.Drawing{}, s)
	if err != nil {
		t.Fatal(err)
	}
	if err := artwork.Check(d); err != nil {
		t.Fatal(err)
	}
	return d, sets
}

func one(t *testing.T, p Piece) artwork.Drawing {
	t.Helper()
	d, _ := compose(t, Sheet{Pieces: []Piece{p}})
	return d
}

func tall(mm float64) func(*Piece) { return func(p *Piece) { p.Height.MM = mm } }

func TestSizes(t *testing.T) {
	for _, f := range Shipped() {
		if d := one(t, piece("H", f.Name(), tall(40))); !f.Lined() && f.Name() != "Pacifico" && f.Name() != "Dancing Script Bold" && math.Abs(d.Height-40) > near {
			t.Errorf("%s: a capital of 40 mm is %g mm high", f.Name(), d.Height)
		}
		if d := one(t, piece("Herons", f.Name(), func(p *Piece) { p.Width.MM = 200 })); math.Abs(d.Width-200) > near {
			t.Errorf("%s: set 200 mm wide it is %g mm", f.Name(), d.Width)
		}
		d := one(t, piece("Herons\n12", f.Name(), func(p *Piece) { p.Fit, p.Width.MM, p.Height.MM, p.Outline.Width = true, 120, 60, 0 }))
		if d.Width > 120+near || d.Height > 60+near || (d.Width < 120-near && d.Height < 60-near) {
			t.Errorf("%s: fitted into 120 × 60 it is %g × %g", f.Name(), d.Width, d.Height)
		}
	}
}

// A design that has a width of its own has it to the hundredth, outline and all, and
// the shares of its pieces keep to each other.
func TestTheDesignsOwnSize(t *testing.T) {
	s := Sheet{Width: 230, Pieces: []Piece{
		piece("Herons", "Pacifico", func(p *Piece) { p.Height.Share = 0.4 }),
		piece("27", "Alfa Slab One", func(p *Piece) { p.Height.Share = 1.2; p.Outline = Outline{Width: 4, Gap: 1} }),
	}}
	d, sets := compose(t, s)
	if math.Abs(d.Width-230) > near {
		t.Errorf("it is %g mm wide", d.Width)
	}
	if r := sets[1].Capital / sets[0].Capital; math.Abs(r-3) > 1e-6 {
		t.Errorf("the pieces are as 1 to %g", r)
	}
	s.Width, s.Height = 0, 180
	if d, _ = compose(t, s); math.Abs(d.Height-180) > near {
		t.Errorf("it is %g mm high", d.Height)
	}
}

// Letters of a script that join are one area; those apart have one each, in the order
// read, and rules find them by the piece, by its part and by class.
func TestRegions(t *testing.T) {
	joined := one(t, piece("heron", "Pacifico", tall(40)))
	if n := len(joined.Regions); n != 1 {
		t.Errorf("a joined word has %d regions", n)
	}
	d := one(t, piece("AB C", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 40; p.ID = "crew"; p.Outline = Outline{Width: 3, Gap: 1} }))
	var ids []string
	for _, r := range d.Regions {
		ids = append(ids, r.ID)
		if r.Groups[0] != "crew" || r.Classes[0] != "lettering" || !strings.HasPrefix(r.Element, "crew-") {
			t.Errorf("%+v", r)
		}
	}
	if got := strings.Join(ids, " "); got != "crew-fill-1 crew-fill-2 crew-fill-3 crew-outline-1 crew-outline-2 crew-outline-3 crew-outline-4 crew-outline-5" { // round AB and C, and in three eyes
		t.Errorf("the regions are %s", got)
	}
	if !strings.Contains(d.Regions[1].Where, `"B"`) {
		t.Errorf("the second is told as %s", d.Regions[1].Where)
	}
}

// The outline lies its gap clear of the letters and is as wide as asked: every point
// of it is from gap to gap + width away from the nearest letter.
func TestOutlineDistance(t *testing.T) {
	d := one(t, piece("R8", "Alfa Slab One", func(p *Piece) { p.Height.MM = 60; p.Outline = Outline{Width: 4, Gap: 1.5} }))
	var fill []geom.Shape
	for _, r := range d.Regions {
		if r.Classes[1] == "fill" {
			fill = append(fill, r.Shape)
		}
	}
	letters := geom.NewBoundary(geom.Union(fill...))
	least, most := math.Inf(1), 0.0
	for _, r := range d.Regions {
		for _, ring := range r.Shape.Rings {
			for _, p := range ring {
				if r.Classes[1] == "outline" {
					away := -letters.Depth(p)
					least, most = min(least, away), max(most, away)
				}
			}
		}
	}
	if math.Abs(least-1.5) > near || math.Abs(most-5.5) > near {
		t.Errorf("the outline is from %g to %g mm away", least, most)
	}
}

// Round a circle, every foot stands on it: I has its foot on the base line, so the
// middle of each one's foot is the radius away from the centre.
func TestLettersStandOnTheCircle(t *testing.T) {
	const radius = 70
	for _, sag := range []bool{false, true} {
		d := one(t, piece("IIIIIIIIIIII", "Archivo ExtraBold", func(p *Piece) {
			p.Height.MM = 15
			p.Curve.Circle, p.Curve.Radius, p.Curve.Sag = true, radius, sag
		}))
		if len(d.Regions) != 12 {
			t.Fatalf("%d letters", len(d.Regions))
		}
		centre := geom.Point{X: d.Width / 2, Y: d.Height / 2}
		for _, r := range d.Regions {
			from, to := math.Inf(1), 0.0
			outline := geom.NewBoundary(r.Shape)
			at := outline.Nearest(centre).Point
			for _, p := range r.Shape.Rings[0] {
				from, to = min(from, p.Dist(centre)), max(to, p.Dist(centre))
			}
			if !sag && math.Abs(at.Dist(centre)-radius) > 0.05 {
				t.Errorf("a foot is %g mm from the centre", at.Dist(centre))
			}
			if sag && math.Abs(to-radius) > 0.4 { // the corners of a foot lie beyond its middle
				t.Errorf("a foot is %g mm from the centre", to)
			}
			if h := to - from; math.Abs(h-15) > 0.5 {
				t.Errorf("a letter is %g mm high", h)
			}
		}
	}
}

// An arc spans the angle asked for: the outer edges of the first and the last letter.
func TestArcSpansItsBend(t *testing.T) {
	d := one(t, piece("IIIIIIIIIIIIIIIIIIII", "Archivo ExtraBold", func(p *Piece) {
		p.Height.MM = 5
		p.Curve.Arc, p.Curve.Bend = Above, 2
	}))
	mid := func(r artwork.Region) geom.Point {
		b := r.Bounds()
		return geom.Point{X: (b.MinX + b.MaxX) / 2, Y: (b.MinY + b.MaxY) / 2}
	}
	// Three letters give the circle; the first and last are an advance short of the whole.
	a, b, c := mid(d.Regions[0]), mid(d.Regions[9]), mid(d.Regions[19])
	half := math.Abs(math.Atan2(b.Sub(a).Cross(c.Sub(b)), b.Sub(a).Dot(c.Sub(b))))
	span := 2 * half * 20 / 19
	if math.Abs(span-2) > 0.06 {
		t.Errorf("it spans %g rad, want 2", span)
	}
	if !(b.Y < a.Y && b.Y < c.Y) {
		t.Error("an arc above does not rise")
	}
}

// river is artwork with an open line and a round shape.
func river() artwork.Drawing {
	line := geom.Line{}
	for i := range 101 {
		x := float64(i) * 2
		line = append(line, geom.Point{X: x, Y: 60 + 15*math.Sin(x/30)})
	}
	var pond geom.Ring
	pond = geom.FlattenArc(pond, geom.Point{X: 100, Y: 150}, 40, 40, 0, 0, 2*math.Pi, 0.01)
	return artwork.Drawing{Width: 200, Height: 190, Regions: []artwork.Region{
		{ID: "river", Element: "river", Paint: "#1f4e79", Lines: []geom.Line{line}},
		{ID: "pond", Element: "pond", Paint: "#1f4e79", Shape: geom.Fill([]geom.Ring{pond}, geom.NonZero)},
	}}
}

func TestLettersAlongAPath(t *testing.T) {
	art := river()
	for _, id := range []string{"river", "pond"} {
		p := piece("IIIII", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 10; p.Curve.Path = id; p.Curve.Lift = Measure{MM: 2} })
		d, _, err := Compose(art, Sheet{Pieces: []Piece{p}})
		if err != nil {
			t.Fatal(err)
		}
		if err := artwork.Check(d); err != nil {
			t.Fatal(err)
		}
		var on artwork.Region
		for _, r := range d.Regions {
			if r.ID == id {
				on = r
			}
		}
		edge := geom.NewBoundary(on.Shape)
		if on.Open() {
			edge = geom.NewLineBoundary(on.Lines)
		}
		for _, r := range d.Regions {
			if !strings.Contains(r.ID, "fill") {
				continue
			}
			least := math.Inf(1)
			for _, q := range r.Shape.Rings[0] {
				least = min(least, edge.Nearest(q).Dist)
			}
			if least < 1.5 || least > 2.1 {
				t.Errorf("%s: a letter stands %g mm off it, want 2", id, least)
			}
		}
	}
}

func TestPlaces(t *testing.T) {
	art := artwork.Drawing{Width: 100, Height: 80, Regions: []artwork.Region{{
		ID: "board", Paint: "#1f4e79",
		Shape: geom.Fill([]geom.Ring{{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 80}, {X: 0, Y: 80}}}, geom.NonZero),
	}}}
	for side, want := range map[Side]geom.Point{Above: {X: 0, Y: -55}, Below: {X: 0, Y: 55}, LeftOf: {X: -1, Y: 0}, RightO: {X: 1, Y: 0}, Middle: {}} {
		p := piece("H", "Archivo ExtraBold", func(p *Piece) {
			p.Height.MM = 20
			p.At = Place{Side: side, Of: ArtworkName, Gap: Measure{MM: 5}, Down: 3}
		})
		d, _, err := Compose(art, Sheet{Pieces: []Piece{p}})
		if err != nil {
			t.Fatal(err)
		}
		board, h := d.Regions[0].Bounds(), d.Regions[1].Bounds()
		dx, dy := (h.MinX+h.MaxX-board.MinX-board.MaxX)/2, (h.MinY+h.MaxY-board.MinY-board.MaxY)/2
		if side == LeftOf || side == RightO {
			want.X *= 55 + h.Width()/2
		}
		if math.Abs(dx-want.X) > near || math.Abs(dy-want.Y-3) > near {
			t.Errorf("%s: it stands %g, %g from the middle, want %g, %g", side, dx, dy, want.X, want.Y+3)
		}
		if got := d.Regions[0].Shape.Area(); (side == Middle) != (got < 8000) {
			t.Errorf("%s: %g mm² of the board are left", side, got)
		}
	}
}

// A monogram has its middle letter at the height asked for and the others beside it,
// centred on it.
func TestMonogram(t *testing.T) {
	d := one(t, piece("HIH", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 50; p.Monogram = true }))
	if len(d.Regions) != 3 {
		t.Fatalf("%d regions", len(d.Regions))
	}
	for i, want := range []float64{32, 50, 32} {
		b := d.Regions[i].Bounds()
		if math.Abs(b.Height()-want) > near || math.Abs((b.MinY+b.MaxY)/2-25) > near {
			t.Errorf("letter %d is %g mm high about %g", i, b.Height(), (b.MinY+b.MaxY)/2)
		}
	}
}

// Spacing parts letters by just what is asked; a slant moves their heads by its tangent.
func TestSpacingAndSlant(t *testing.T) {
	plain := one(t, piece("HH", "Archivo ExtraBold", tall(40)))
	wide := one(t, piece("HH", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 40; p.Spacing = Measure{Share: 0.25} }))
	if math.Abs(wide.Width-plain.Width-10) > near {
		t.Errorf("spaced by 10 mm it is %g mm wider", wide.Width-plain.Width)
	}
	slanted := one(t, piece("HH", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 40; p.Slant = math.Pi / 12 }))
	if math.Abs(slanted.Width-plain.Width-40*math.Tan(math.Pi/12)) > near {
		t.Errorf("slanted it is %g mm wider", slanted.Width-plain.Width)
	}
}

func TestWhatCannotBeSet(t *testing.T) {
	art := river()
	for name, c := range map[string]struct {
		art  bool
		s    Sheet
		code string
	}{
		"a face unknown":       {false, Sheet{Pieces: []Piece{piece("H", "Helvetia", tall(20))}}, "face-unknown"},
		"a letter missing":     {false, Sheet{Pieces: []Piece{piece("李", "Pacifico", tall(20))}}, "letter-missing"},
		"no size":              {false, Sheet{Pieces: []Piece{piece("H", "", nil)}}, "width-missing"},
		"two sizes":            {false, Sheet{Width: 100, Pieces: []Piece{piece("H", "", tall(20))}}, "lettering-size"},
		"too small":            {false, Sheet{Pieces: []Piece{piece("H", "", tall(0.4))}}, "lettering-size"},
		"nothing seen":         {false, Sheet{Pieces: []Piece{piece(" ", "", tall(20))}}, "lettering-empty"},
		"no artwork":           {false, Sheet{Pieces: []Piece{piece("H", "", func(p *Piece) { p.Height.MM = 20; p.At.Of = ArtworkName })}}, "lettering-place"},
		"no such piece":        {true, Sheet{Pieces: []Piece{piece("H", "", func(p *Piece) { p.Height.MM = 20; p.At.Of = "name" })}}, "lettering-place"},
		"no such path":         {true, Sheet{Pieces: []Piece{piece("H", "", func(p *Piece) { p.Height.MM = 20; p.Curve.Path = "lake" })}}, "lettering-path"},
		"a short path":         {true, Sheet{Pieces: []Piece{piece("Saltmarsh Herons", "", func(p *Piece) { p.Height.MM = 40; p.Curve.Path = "river" })}}, "lettering-too-long"},
		"a small circle":       {false, Sheet{Pieces: []Piece{piece("Saltmarsh", "", func(p *Piece) { p.Height.MM = 40; p.Curve.Circle, p.Curve.Radius = true, 30 })}}, "lettering-too-long"},
		"four for a monogram":  {false, Sheet{Pieces: []Piece{piece("ABCD", "", func(p *Piece) { p.Height.MM = 40; p.Monogram = true })}}, "lettering"},
		"an outline of lines":  {false, Sheet{Pieces: []Piece{piece("H", "EMS Allure", func(p *Piece) { p.Height.MM = 40; p.Outline.Width = 3 })}}, "lettering"},
		"one id for two":       {false, Sheet{Pieces: []Piece{piece("H", "", func(p *Piece) { p.ID = "a" }), piece("I", "", func(p *Piece) { p.ID = "a" })}}, "lettering"},
		"two sorts of curves":  {false, Sheet{Pieces: []Piece{piece("H", "", func(p *Piece) { p.Curve.Circle, p.Curve.Path = true, "river" })}}, "lettering"},
		"a design of no width": {false, Sheet{Width: 0.1, Pieces: []Piece{piece("Saltmarsh", "", nil)}}, "lettering-size"},
	} {
		var d artwork.Drawing
		if c.art {
			d = art
		}
		if _, _, err := Compose(d, c.s); fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v (%s), want %s", name, err, fault.CodeOf(err), c.code)
		}
	}
}

// The same sheet gives the same drawing, to the last bit.
func TestSameSheetSameDrawing(t *testing.T) {
	s := Sheet{Pieces: []Piece{piece("Nguyễn\nŁukasz", "Dancing Script Bold", func(p *Piece) { p.Height.MM = 30; p.Curve.Arc, p.Curve.Bend = Below, 1 })}}
	first, _ := compose(t, s)
	again, _ := compose(t, s)
	if !bytes.Equal(fmt.Appendf(nil, "%v", first), fmt.Appendf(nil, "%v", again)) {
		t.Error("two runs differ")
	}
}

// Letters stand beside a drawn stroke, along its middle from end to end, and not round
// its outline.
func TestLettersStandAlongAStroke(t *testing.T) {
	stroke := geom.Stroke([]geom.Line{{{X: 0, Y: 50}, {X: 120, Y: 50}}}, nil, geom.StrokeStyle{Width: 4}, 0.01)
	art := artwork.Drawing{Regions: []artwork.Region{{ID: "river", Paint: "#000000", Stroke: true, Shape: stroke}}}
	p := piece("HH", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 20; p.Curve.Path = "river"; p.Curve.Lift = Measure{MM: 3} })
	d, _, err := Compose(art, Sheet{Pieces: []Piece{p}})
	if err != nil {
		t.Fatal(err)
	}
	river, box := d.Regions[0].Bounds(), d.Regions[1].Bounds().Join(d.Regions[2].Bounds())
	if clear := river.MinY - box.MaxY; math.Abs(clear-3) > 0.02 {
		t.Errorf("the letters stand %.3f mm above the stroke, 3 were asked for", clear)
	}
	if off := (box.MinX+box.MaxX)/2 - (river.MinX+river.MaxX)/2; math.Abs(off) > 0.1 || box.Height() > 20.01 {
		t.Errorf("the letters are %.3f mm off the middle, %.3f mm high", off, box.Height())
	}
}

// What is left of the artwork in the eye of a letter goes, and what was as small before
// stays.
func TestNoIslandsInLetters(t *testing.T) {
	field := rect(0, 0, 200, 60)
	dot := rect(210, 10, 214, 14)
	art := artwork.Drawing{Regions: []artwork.Region{{ID: "field", Paint: "#000000", Shape: geom.Union(field, dot)}}}
	p := piece("OO", "Archivo ExtraBold", func(p *Piece) { p.Height.MM = 30; p.At = Place{Side: Middle, Of: ArtworkName} })
	d, _, err := Compose(art, Sheet{Pieces: []Piece{p}})
	if err != nil {
		t.Fatal(err)
	}
	parts := d.Regions[0].Shape.Components()
	if len(parts) != 2 {
		t.Fatalf("%d parts are left of the field and the dot", len(parts))
	}
	if a := math.Min(parts[0].Area(), parts[1].Area()); math.Abs(a-16) > 0.01 {
		t.Errorf("the dot has %.2f mm²", a)
	}
}

func rect(x0, y0, x1, y1 float64) geom.Shape {
	return geom.Shape{Rings: []geom.Ring{{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}}
}
