package ticket

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// Gang is the paper of several designs that share sheets: which plates lie where,
// what is left over, and what all of them take from the shelf.
type Gang struct {
	Language wording.Language
	Designs  []GangDesign
	Sheets   []GangSheet
	Counts   []Row // without plates: each design's own ticket has them
	Stones   int
	Facts    []Fact
	Caution  Caution
	// Mirrored: the cut files hold the sheets with left and right changed.
	Mirrored bool
}

// GangDesign is a row of the list of designs. Key is its letter on the sheets.
type GangDesign struct {
	Key, Name, Folder, Code string
	Templates               int
	Transfers               int // to be made of the templates; 0: one of each
	Plates                  int // of one template
	Frame                   string
	Sheets                  []int
}

// GangSheet is a sheet to scale, in mm, with its plates and what is left of it.
type GangSheet struct {
	Number        int
	Width, Height float64
	Size          string
	Odd           bool // an odd piece from earlier work
	Plates        []GangPlate
	Left          []Rect
}

// GangPlate is a plate on a sheet: its design's letter with its number, "A1".
type GangPlate struct {
	Label string
	Rect
	Turned bool
}

// Rect is a rectangle of a sheet, in mm from its top-left corner.
type Rect struct{ X, Y, Width, Height float64 }

// GangInput is what the paper is made of. Sheets list all plates; Odd and Left go
// with them, one for one.
type GangInput struct {
	Language wording.Language
	Designs  []GangPart
	Sheets   []design.Sheet
	Odd      []bool
	Left     [][]Rect
	Counts   []Count
	Facts    []Fact // tape and film
}

// GangPart is one design with its folder, how many templates of it are cut and how
// many transfers are made of them (0: one of each). Code may be given for a
// document that has no holes.
type GangPart struct {
	Document  design.Document
	Folder    string
	Templates int
	Transfers int
	Code      string
}

// BuildGang makes the paper. Faults: "ticket-plate" for a plate on a sheet that no
// design has, "ticket-counts" for stones that none has, and those of the colour look-up.
func BuildGang(in GangInput) (Gang, error) {
	v := wording.In(in.Language)
	g := Gang{Language: in.Language, Caution: bladesCaution(v)}
	for i, d := range in.Designs {
		g.Mirrored = g.Mirrored || d.Document.Mirrored
		g.Designs = append(g.Designs, gangDesign(v, key(i), d))
	}
	for i, s := range in.Sheets {
		sheet := GangSheet{Number: s.Number, Width: s.Width, Height: s.Height, Size: v.Area(s.Width, s.Height)}
		if i < len(in.Odd) {
			sheet.Odd = in.Odd[i]
		}
		if i < len(in.Left) {
			sheet.Left = in.Left[i]
		}
		for _, p := range s.Placed {
			plate, err := in.plate(p)
			if err != nil {
				return Gang{}, err
			}
			sheet.Plates = append(sheet.Plates, plate)
		}
		g.Sheets = append(g.Sheets, sheet)
	}
	for _, c := range in.Counts {
		kind, err := in.kind(c)
		if err != nil {
			return Gang{}, err
		}
		look, err := kind.Look()
		if err != nil {
			return Gang{}, err
		}
		g.Counts = append(g.Counts, Row{Count: c, Swatch: Swatch{Hex: look.Hex, AB: look.Finish == catalogue.AB}, Diameter: kind.Diameter})
		g.Stones += c.Pieces
	}
	g.Facts = append(flockFacts(v, g.Sheets), in.Facts...)
	return g, nil
}

// kind gives the kind of a count, which one of the designs has.
func (in GangInput) kind(c Count) (design.Kind, error) {
	for _, d := range in.Designs {
		for _, k := range d.Document.Kinds {
			if k.Size == c.Size && k.Colour == c.Colour {
				return k, nil
			}
		}
	}
	return design.Kind{}, fault.New("ticket-counts", c.Size+" "+c.Colour, "no design has these stones; count again")
}

// Roster says that more transfers may be made than templates are cut.
func (g Gang) Roster() bool {
	return slices.ContainsFunc(g.Designs, func(d GangDesign) bool { return d.Transfers > 0 })
}

// Transfers is how many transfers are made in all.
func (g Gang) Transfers() int {
	n := 0
	for _, d := range g.Designs {
		n += cmp.Or(d.Transfers, d.Templates)
	}
	return n
}

// key gives the letter of a design: A to Z, then AA, AB and so on.
func key(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

func gangDesign(v wording.Voice, letter string, d GangPart) GangDesign {
	out := GangDesign{
		Key: letter, Name: d.Document.Design, Folder: d.Folder, Code: d.Code,
		Templates: d.Templates, Transfers: d.Transfers, Plates: len(d.Document.Plates),
	}
	if out.Code == "" {
		out.Code = Code(d.Document)
	}
	if len(d.Document.Plates) > 0 {
		f := d.Document.Plates[0].Frame
		out.Frame = v.Area(f[2]-f[0], f[3]-f[1])
	}
	for _, s := range d.Document.Sheets {
		out.Sheets = append(out.Sheets, s.Number)
	}
	return out
}

// plate gives a plate as it lies on its sheet.
func (in GangInput) plate(at design.Placed) (GangPlate, error) {
	for i, d := range in.Designs {
		if d.Document.Design != at.Design {
			continue
		}
		for _, p := range d.Document.Plates {
			if p.Number != at.Plate {
				continue
			}
			r := Rect{at.X, at.Y, p.Frame[2] - p.Frame[0], p.Frame[3] - p.Frame[1]}
			if at.Turned {
				r.Width, r.Height = r.Height, r.Width
			}
			return GangPlate{Label: key(i) + fmt.Sprint(at.Plate), Rect: r, Turned: at.Turned}, nil
		}
	}
	return GangPlate{}, fault.New("ticket-plate", at.Design, "plate %d lies on a sheet and is in no design; lay the sheets out again", at.Plate)
}

// flockFacts counts sheets by their size, new ones first.
func flockFacts(v wording.Voice, sheets []GangSheet) []Fact {
	var out []Fact
	for _, odd := range []bool{false, true} {
		var sizes []string
		times := map[string]int{}
		for _, s := range sheets {
			if s.Odd != odd {
				continue
			}
			if times[s.Size] == 0 {
				sizes = append(sizes, s.Size)
			}
			times[s.Size]++
		}
		for _, size := range sizes {
			if odd {
				out = append(out, Fact{v.Say("Odd pieces of flock"), v.Say("%d pieces, %s", times[size], size)})
				continue
			}
			out = append(out, Fact{v.Say("Template flock"), v.Say("%d sheets, %s", times[size], size)})
		}
	}
	return out
}

// LargestLeft gives the offcuts of all sheets worth naming, the largest first, as
// "152.4 × 292.8 mm of sheet 2".
func (g Gang) LargestLeft(most int) []string {
	type left struct {
		Rect
		sheet int
	}
	var all []left
	for _, s := range g.Sheets {
		for _, r := range s.Left {
			all = append(all, left{r, s.Number})
		}
	}
	slices.SortStableFunc(all, func(a, b left) int { return cmp.Compare(b.Width*b.Height, a.Width*a.Height) })
	v := wording.In(g.Language)
	var out []string
	for _, l := range all[:min(most, len(all))] {
		out = append(out, v.Say("%s of sheet %d", l.Size(v), l.sheet))
	}
	return out
}

// Size prints the sides to a millimetre, rounded down: what is surely there.
func (r Rect) Size(v wording.Voice) string {
	return v.Area(math.Floor(r.Width+1e-6), math.Floor(r.Height+1e-6))
}
