package inspect

import (
	"math"
	"slices"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
)

// kind gives a kind with the catalogue's sizes.
func kind(t testing.TB, size, colour string) design.Kind {
	t.Helper()
	s, err := catalogue.FindSize(size)
	if err != nil {
		t.Fatal(err)
	}
	return design.Kind{Size: s.Name, Colour: colour, Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height}
}

func ring(points ...float64) [][2]float64 {
	var out [][2]float64
	for i := 0; i < len(points); i += 2 {
		out = append(out, [2]float64{points[i], points[i+1]})
	}
	return out
}

// region gives a closed region of the kind with the tightest gap of one plate.
func regionOf(id string, k design.Kind, treatment []design.Treatment, rings ...[][2]float64) design.Region {
	gap := k.Hole - k.Diameter + catalogue.Web
	return design.Region{ID: id, Rings: rings, Treatment: treatment, Bed: design.Comb, Size: k.Size, Colour: k.Colour, Gap: gap, Pitch: k.Diameter + gap}
}

// put sets a stone of the region's kind.
func put(doc *design.Document, r design.Region, role design.Role, plate int, x, y float64) {
	doc.Stones = append(doc.Stones, design.Stone{X: x, Y: y, Size: r.Size, Colour: r.Colour, Region: r.ID, Role: role, Plate: plate})
}

// comb fills a w × h box of allowed centres from x0, y0 with a honeycomb.
func comb(doc *design.Document, r design.Region, x0, y0, w, h float64) {
	rise := r.Pitch * math.Sqrt(3) / 2
	for row := 0; float64(row)*rise <= h+1e-9; row++ {
		for x := float64(row%2) * r.Pitch / 2; x <= w+1e-9; x += r.Pitch {
			put(doc, r, design.RoleBed, 1, x0+x, y0+float64(row)*rise)
		}
	}
}

// plates gives a document the plates and the sheet that its stones ask for.
func plates(doc *design.Document, count int) {
	doc.Plates, doc.Sheets = nil, nil
	sheet := design.Sheet{Number: 1, Width: 304.8, Height: 508}
	for n := 1; n <= count; n++ {
		p := design.Plate{Number: n, Frame: [4]float64{-10, -10, 70, 50}, Notch: [2]float64{30, -7}}
		for i := range n {
			p.Nicks = append(p.Nicks, [4]float64{40 + 3*float64(i), -8, 40 + 3*float64(i), -5})
		}
		for _, k := range doc.Kinds {
			used := false
			for _, s := range doc.Stones {
				if s.Plate == n && s.Size == k.Size && s.Colour == k.Colour {
					p.Holes = append(p.Holes, design.Hole{X: s.X, Y: s.Y, D: k.Hole})
					used = true
				}
			}
			if used {
				p.Order = append(p.Order, k.Size+" "+k.Colour)
			}
		}
		doc.Plates = append(doc.Plates, p)
		sheet.Placed = append(sheet.Placed, design.Placed{Design: doc.Design, Plate: n, X: 10, Y: 10 + float64(n-1)*65})
	}
	doc.Sheets = []design.Sheet{sheet}
}

// sound is a design that keeps every rule: a bed of SS10, a closed stroke with
// a spine of SS16 on the same plate, and an open line of SS10 in another colour
// on a plate of its own.
func sound(t testing.TB) design.Document {
	ss10, blue, ss16 := kind(t, "SS10", "crystal"), kind(t, "SS10", "sapphire"), kind(t, "SS16", "crystal")
	doc := design.Document{Version: 1, Unit: "mm", Design: "test", Width: 60, Height: 40, Web: catalogue.Web, Border: catalogue.Border, Kinds: []design.Kind{ss16, ss10, blue}}
	p := ss10.Hole + catalogue.Web
	rise := p * math.Sqrt(3) / 2
	w, h, d := 6*p, 4*rise, ss10.Diameter
	bed := regionOf("bed", ss10, []design.Treatment{design.Rim, design.Bed}, ring(0, 0, w+d, 0, w+d, h+d, 0, h+d))
	spine := regionOf("spine", ss16, []design.Treatment{design.Spine}, ring(0, 30, 40, 30, 40, 33, 0, 33))
	line := regionOf("line", blue, []design.Treatment{design.Spine}, ring(50, 0, 50, 20))
	line.Open = true
	doc.Regions = []design.Region{bed, spine, line}
	comb(&doc, bed, d/2, d/2, w, h)
	for x := 3.0; x < 38; x += spine.Pitch {
		put(&doc, spine, design.RoleSpine, 1, x, 31.5)
	}
	for y := 1.0; y < 19; y += line.Pitch {
		put(&doc, line, design.RoleSpine, 2, 50, y)
	}
	plates(&doc, 2)
	return doc
}

func TestSoundDesign(t *testing.T) {
	for _, f := range Inspect(sound(t)) {
		t.Error(f)
	}
}

// stoneOf gives the first stone of a region.
func stoneOf(doc *design.Document, region string) *design.Stone {
	i := slices.IndexFunc(doc.Stones, func(s design.Stone) bool { return s.Region == region })
	return &doc.Stones[i]
}

// Each case breaks one rule of the sound design, and only that one is found.
// The bed has rows of 7, 6, 7, 6 and 7 stones: 16 on its edge, 28 pairs along
// the rows and 48 across; with 6 pairs of the spine and 4 of the line, 86.
func TestEachRule(t *testing.T) {
	cases := []struct {
		id    ID
		name  string
		count int
		spoil func(doc *design.Document)
	}{
		{Value, "stone without a place", 1, func(d *design.Document) {
			s := *stoneOf(d, "line")
			s.X = math.NaN()
			d.Stones = append(d.Stones, s)
		}},
		{Value, "hole smaller than stone", 1, func(d *design.Document) {
			d.Kinds = append(d.Kinds, design.Kind{Size: "SS20", Colour: "red", Diameter: 4.8, Hole: 4})
		}},
		{Value, "outline off the plane", 1, func(d *design.Document) {
			d.Regions[0].Rings = append(d.Regions[0].Rings, ring(0, 0, math.Inf(1), 0, 1, 1))
		}},
		{Kind, "unlisted kind", 5, func(d *design.Document) { d.Kinds = d.Kinds[:2] }},
		{Region, "unknown region", 1, func(d *design.Document) {
			d.Stones = append(d.Stones, design.Stone{X: 200, Y: 200, Size: "SS10", Colour: "crystal", Region: "moon", Plate: 1})
		}},
		{Region, "two of a name", 1, func(d *design.Document) { d.Regions = append(d.Regions, d.Regions[2]) }},
		{Pitch, "pitch is not stone and gap", 1, func(d *design.Document) { d.Regions[2].Pitch += 0.01 }},
		{Gap, "a line with a wider gap", 4, func(d *design.Document) { d.Regions[2].Gap += 0.0015; d.Regions[2].Pitch += 0.0015 }},
		{Outside, "a bed over its edge", 1, func(d *design.Document) { stoneOf(d, "bed").X -= 0.011; plates(d, 2) }},
		{Outside, "a spine out of its stroke", 1, func(d *design.Document) { stoneOf(d, "spine").Y = 29.98; plates(d, 2) }},
		{Margin, "a margin not kept", 16, func(d *design.Document) {
			d.Regions[0].Margin = 0.02
			d.Regions[0].Treatment = d.Regions[0].Treatment[:1]
		}},
		{Line, "off the line", 1, func(d *design.Document) { stoneOf(d, "line").X += 0.011; plates(d, 2) }},
		{Room, "a stone missing from the bed", 1, func(d *design.Document) { d.Stones = slices.Delete(d.Stones, 9, 10); plates(d, 2) }},
		{Room, "a stone missing at the edge", 1, func(d *design.Document) { d.Stones = slices.Delete(d.Stones, 3, 4); plates(d, 2) }},
		{Room, "a stone missing in a corner", 1, func(d *design.Document) { d.Stones = slices.Delete(d.Stones, 0, 1); plates(d, 2) }},
		{Plate, "a stone on no plate", 1, func(d *design.Document) { stoneOf(d, "line").Plate = 3; d.Plates[1].Holes = d.Plates[1].Holes[1:] }},
		{Hole, "a hole too far from its stone", 2, func(d *design.Document) { d.Plates[1].Holes[2].X += 0.0015 }},
		{Hole, "a hole of another width", 1, func(d *design.Document) { d.Plates[1].Holes[2].D -= 0.01 }},
		{Hole, "a hole missing", 1, func(d *design.Document) { d.Plates[1].Holes = d.Plates[1].Holes[1:] }},
		{Hole, "a hole too many", 1, func(d *design.Document) {
			d.Plates[0].Holes = append(d.Plates[0].Holes, design.Hole{X: 55, Y: 30, D: 3})
		}},
		{Web, "more web asked for", 86, func(d *design.Document) { d.Web += 0.0015 }},
		{Border, "a frame too near", 5, func(d *design.Document) {
			for i := range d.Plates {
				d.Plates[i].Frame[2] = 50 + d.Kinds[2].Hole/2 + d.Border - 0.0015
			}
		}},
		{Falls, "two colours of a size on a plate", 1, func(d *design.Document) {
			for i := range d.Stones {
				d.Stones[i].Plate = 1
			}
			plates(d, 1)
		}},
		{Order, "smallest first", 1, func(d *design.Document) { slices.Reverse(d.Plates[0].Order) }},
		{Order, "a kind not brushed", 1, func(d *design.Document) { d.Plates[0].Order = d.Plates[0].Order[:1] }},
		{Order, "a kind that is not there", 1, func(d *design.Document) { d.Plates[1].Order = append(d.Plates[1].Order, "SS6 crystal") }},
		{Frame, "another frame", 1, func(d *design.Document) { d.Plates[1].Frame[3] += 0.1 }},
		{Notch, "another notch", 1, func(d *design.Document) { d.Plates[1].Notch[0] += 0.1 }},
		{Notch, "notch at the bottom", 2, func(d *design.Document) { d.Plates[0].Notch[1], d.Plates[1].Notch[1] = 47, 47 }},
		{Nick, "a nick missing", 1, func(d *design.Document) { d.Plates[1].Nicks = d.Plates[1].Nicks[1:] }},
		{Register, "a register mark on one plate", 1, func(d *design.Document) {
			d.Plates[1].Register = [][][2]float64{{{-8, -7}, {-6, -7}}}
		}},
		{Register, "a register mark moved", 1, func(d *design.Document) {
			d.Plates[0].Register = [][][2]float64{{{-8, -7}, {-6, -7}}}
			d.Plates[1].Register = [][][2]float64{{{-8, -7}, {-6, -7.1}}}
		}},
		{Mark, "a letter out of the frame", 1, func(d *design.Document) {
			d.Plates[0].Letters = [][][2]float64{{{-9, 48}, {-9, 50.2}}}
		}},
		{Mark, "a letter through a hole", 1, func(d *design.Document) {
			h := d.Plates[0].Holes[0]
			d.Plates[0].Letters = [][][2]float64{{{h.X - 0.1, h.Y}, {h.X + 0.1, h.Y}}}
		}},
		{Mark, "a letter over a nick", 1, func(d *design.Document) {
			d.Plates[0].Letters = [][][2]float64{{{39, -6}, {41, -6}}}
		}},
		{Mark, "a nick beside the notch", 1, func(d *design.Document) {
			d.Plates[0].Nicks[0] = [4]float64{31, -8, 31, -5}
		}},
		{Value, "a letter of one point", 1, func(d *design.Document) {
			d.Plates[0].Letters = [][][2]float64{{{-9, 48}}}
		}},
		{Unplaced, "a plate on no sheet", 1, func(d *design.Document) { d.Sheets[0].Placed = d.Sheets[0].Placed[:1] }},
		{Unplaced, "a plate more often than the other", 1, func(d *design.Document) {
			d.Sheets[0].Placed = append(d.Sheets[0].Placed, design.Placed{Design: "test", Plate: 1, X: 10, Y: 200})
		}},
		{Unplaced, "an unknown plate", 1, func(d *design.Document) {
			d.Sheets[0].Placed = append(d.Sheets[0].Placed, design.Placed{Design: "test", Plate: 9, X: 10, Y: 200})
		}},
		{Sheet, "over the edge", 1, func(d *design.Document) { d.Sheets[0].Placed[0].X = 225 }},
		{Overlap, "over each other", 1, func(d *design.Document) { d.Sheets[0].Placed[1].Y = 69 }},
	}
	for _, c := range cases {
		t.Run(string(c.id)+" "+c.name, func(t *testing.T) {
			doc := sound(t)
			c.spoil(&doc)
			found := Inspect(doc)
			if len(found) != c.count {
				t.Errorf("%d findings, want %d", len(found), c.count)
			}
			for _, f := range found {
				if f.ID != c.id || f.Message == "" {
					t.Error(f)
				}
			}
		})
	}
}

// Between two regions the larger of the gaps counts, on half of each stone.
func TestGapBetweenRegions(t *testing.T) {
	for _, c := range []struct {
		y     float64 // of an SS16 beside the SS10 line at x = 50
		found int
	}{{0, 0}, {0.0008, 0}, {0.002, 1}} {
		doc := sound(t)
		wide := kind(t, "SS16", "crystal")
		r := regionOf("beside", wide, []design.Treatment{design.Spine}, ring(45, 0, 55, 0))
		r.Open, r.Gap = true, 2
		r.Pitch = wide.Diameter + r.Gap
		first := stoneOf(&doc, "line")
		y := first.Y - ((wide.Diameter+2.9)/2 + 2) + c.y
		r.Rings[0] = ring(45, y, 55, y)
		doc.Regions = append(doc.Regions, r)
		put(&doc, r, design.RoleSpine, 1, first.X, y)
		found := InspectStones(doc)
		if len(found) != c.found {
			t.Errorf("%g mm nearer: %v", c.y, found)
		}
		for _, f := range found {
			if f.ID != Gap || f.Limit != 2 {
				t.Error(f)
			}
		}
	}
}

func TestInspectCounts(t *testing.T) {
	doc := sound(t)
	right := Tally{{"SS10", "crystal"}: 33, {"SS16", "crystal"}: 7, {"SS10", "sapphire"}: 5}
	if found := InspectCounts(doc, "counts.csv", right); len(found) != 0 {
		t.Error(found)
	}
	wrong := Tally{{"SS10", "crystal"}: 32, {"SS16", "crystal"}: 7, {"SS6", "crystal"}: 1}
	found := InspectCounts(doc, "counts.csv", wrong)
	if len(found) != 3 || found[0].ID != Count || found[0].Value != 32 || found[0].Limit != 33 {
		t.Error(found)
	}
}

// A spoilt record of any kind is judged, never a reason to break down.
func TestInspectSpoilt(t *testing.T) {
	nan := math.NaN()
	for _, doc := range []design.Document{
		{},
		{Regions: []design.Region{{ID: "a", Treatment: []design.Treatment{design.Bed}, Size: "SS10", Gap: nan, Pitch: nan, Margin: nan}}},
		{Kinds: []design.Kind{{Diameter: nan, Hole: nan}}, Web: nan, Border: math.Inf(1)},
		{Plates: []design.Plate{{Number: 1, Frame: [4]float64{nan, 0, 0, 0}, Notch: [2]float64{nan, nan}, Holes: []design.Hole{{X: nan, D: nan}}}}},
		{Sheets: []design.Sheet{{Number: 1, Width: nan, Placed: []design.Placed{{X: nan}}}}, Plates: []design.Plate{{Number: 0}}},
		{Stones: []design.Stone{{X: 1e300, Y: math.Inf(-1), Size: "SS10"}}},
	} {
		for _, f := range Inspect(doc) {
			if math.IsNaN(f.X+f.Y+f.Value+f.Limit) || math.IsInf(f.X+f.Y+f.Value+f.Limit, 0) {
				t.Errorf("%+v", f)
			}
		}
	}
}
