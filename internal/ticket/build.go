package ticket

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/plate"
	"brushfall/internal/unit"
)

// Tape is what one transfer takes of application tape: a piece of Width × Height
// mm; a sheet of the trade gives PerSheet of them, 0 if it must be pieced from
// Sheets sheets.
type Tape struct {
	Width, Height float64
	PerSheet      int
	Sheets        int
}

// Input is what a ticket is made of. Counts must tell the stones of the document
// kind by kind. The zero Tape is left out.
type Input struct {
	Document design.Document
	Counts   []Count
	Tape     Tape
	Press    Material
	More     []Fact // comes after the ticket's own
	// Fits says of a size by its name where its hole comes from; a size that is
	// not in it is left without a word.
	Fits map[string]string
	// Colour looks a stone colour up by its name; nil: catalogue.FindColour.
	Colour func(name string) (catalogue.Colour, error)
}

type kindKey struct{ size, colour string }

// Build makes the ticket. Faults: "ticket-counts" where the counts, the stones
// and the holes of the plates do not tell the same number, "ticket-plate" for a
// plate without a frame or a stone on no plate, "ticket-press" for an unknown
// material, and those of the colour look-up.
func Build(in Input) (Ticket, error) {
	if in.Colour == nil {
		in.Colour = catalogue.FindColour
	}
	b := builder{in: in, doc: in.Document, swatches: map[kindKey]Swatch{}, diameters: map[kindKey]float64{}, holes: map[kindKey]float64{}}
	if err := b.kinds(); err != nil {
		return Ticket{}, err
	}
	doc := in.Document
	t := Ticket{
		Design: doc.Design, Code: Code(doc), Stones: len(doc.Stones), Lifts: len(doc.Plates), Sheets: sheets(doc),
		Size:     Area(doc.Width, doc.Height, unit.Millimetre),
		SizeInch: Area(doc.Width, doc.Height, unit.Inches),
		Mirrored: doc.Mirrored, Lettered: len(doc.Plates) > 0 && doc.Plates[0].Code != "",
		Cautions: cautions(in.Press),
	}
	var err error
	if t.Plates, err = b.plates(); err != nil {
		return Ticket{}, err
	}
	if t.Counts, err = b.counts(t.Plates); err != nil {
		return Ticket{}, err
	}
	if t.Press, err = press(in.Press); err != nil {
		return Ticket{}, err
	}
	t.Facts = append(b.facts(t.Sheets), in.More...)
	t.Steps = steps(t)
	return t, nil
}

// Area prints two lengths as "228.6 × 228.6 mm" or "9 × 9 in".
func Area(width, height float64, u unit.Unit) string {
	w, h := short(width, u), short(height, u)
	return strings.TrimSuffix(strings.TrimSuffix(w, " mm"), " in") + " × " + h
}

// short prints a length in mm to a tenth of a millimetre or a hundredth of an
// inch: as much as a ruler on a bench can show.
func short(mm float64, u unit.Unit) string {
	step := 0.1
	if u == unit.Inches {
		step = unit.Inch.MM() / 100
	}
	return unit.Length(math.Round(mm/step) * step).Format(u)
}

// Code gives eight letters and digits that tell the templates of one design from
// those of every other, as they may be cut into the plates; see plate.Code.
func Code(doc design.Document) string { return plate.Code(doc.Plates) }

type builder struct {
	in        Input
	doc       design.Document
	swatches  map[kindKey]Swatch
	diameters map[kindKey]float64
	holes     map[kindKey]float64
}

func (b builder) kinds() error {
	for _, k := range b.doc.Kinds {
		c, err := b.in.Colour(k.Colour)
		if err != nil {
			return err
		}
		key := kindKey{k.Size, k.Colour}
		b.swatches[key] = Swatch{Hex: c.Hex, AB: c.Finish == catalogue.AB}
		b.diameters[key], b.holes[key] = k.Diameter, k.Hole
	}
	return nil
}

// plates gives the plates by their numbers, with every hole in its stone's colour.
func (b builder) plates() ([]Plate, error) {
	var out []Plate
	at := map[int]int{}
	for _, p := range b.doc.Plates {
		w, h := p.Frame[2]-p.Frame[0], p.Frame[3]-p.Frame[1]
		if !(w > 0 && h > 0) || math.IsInf(w+h, 0) {
			return nil, fault.New("ticket-plate", fmt.Sprintf("plate %d", p.Number), "the plate has no frame; make the plates again")
		}
		at[p.Number] = len(out)
		out = append(out, Plate{Number: p.Number, Sheet: b.sheetOf(p.Number), Frame: p.Frame, Notch: p.Notch, Nicks: p.Nicks, Size: Area(w, h, unit.Millimetre)})
	}
	for i, s := range b.doc.Stones {
		key := kindKey{s.Size, s.Colour}
		n, known := at[s.Plate]
		if _, listed := b.swatches[key]; !known || !listed {
			return nil, fault.New("ticket-plate", fmt.Sprintf("stone %d", i+1), "%s %s on plate %d: the design lists no such kind or plate", s.Size, s.Colour, s.Plate)
		}
		out[n].add(s, b.holes[key], b.swatches[key])
	}
	for i, p := range b.doc.Plates {
		if len(p.Holes) != len(out[i].Holes) {
			return nil, fault.New("ticket-counts", fmt.Sprintf("plate %d", p.Number), "the plate has %d holes for %d stones; make the plates again", len(p.Holes), len(out[i].Holes))
		}
		b.sortBrush(out[i].Brush)
	}
	slices.SortStableFunc(out, func(a, c Plate) int { return cmp.Compare(a.Number, c.Number) })
	return out, nil
}

// add puts a stone on the plate.
func (p *Plate) add(s design.Stone, hole float64, look Swatch) {
	p.Holes = append(p.Holes, Hole{s.X, s.Y, hole, look})
	for i := range p.Brush {
		if p.Brush[i].Size == s.Size && p.Brush[i].Colour == s.Colour {
			p.Brush[i].Pieces++
			return
		}
	}
	p.Brush = append(p.Brush, Brush{s.Size, s.Colour, look, 1})
}

// sortBrush puts the largest stones first: the smaller would fall into their holes.
func (b builder) sortBrush(brush []Brush) {
	slices.SortFunc(brush, func(x, y Brush) int {
		return cmp.Or(cmp.Compare(b.diameters[kindKey{y.Size, y.Colour}], b.diameters[kindKey{x.Size, x.Colour}]), cmp.Compare(x.Colour, y.Colour))
	})
}

func (b builder) sheetOf(plate int) int {
	for _, s := range b.doc.Sheets {
		for _, p := range s.Placed {
			if p.Plate == plate {
				return s.Number
			}
		}
	}
	return 0
}

// counts checks the counts against the plates and says where each kind goes.
func (b builder) counts(plates []Plate) ([]Row, error) {
	told := map[kindKey]int{}
	for _, c := range b.in.Counts {
		told[kindKey{c.Size, c.Colour}] += c.Pieces
	}
	var rows []Row
	total := 0
	for _, c := range b.in.Counts {
		key := kindKey{c.Size, c.Colour}
		row := Row{Count: c, Swatch: b.swatches[key], Diameter: b.diameters[key]}
		set := 0
		for _, p := range plates {
			for _, s := range p.Brush {
				if s.Size == c.Size && s.Colour == c.Colour {
					row.Plates = append(row.Plates, p.Number)
					set += s.Pieces
				}
			}
		}
		if set != told[key] {
			return nil, fault.New("ticket-counts", c.Size+" "+c.Colour, "the counts tell %d pieces, the plates hold %d; count again", told[key], set)
		}
		total += c.Pieces
		rows = append(rows, row)
	}
	if total != len(b.doc.Stones) {
		return nil, fault.New("ticket-counts", "", "the counts tell %d stones in all, the design has %d; count again", total, len(b.doc.Stones))
	}
	return rows, nil
}

// sheets gives the sheets of flock with their plates.
func sheets(doc design.Document) []Sheet {
	var out []Sheet
	for _, s := range doc.Sheets {
		sheet := Sheet{Number: s.Number, Size: Area(s.Width, s.Height, unit.Millimetre)}
		for _, p := range s.Placed {
			sheet.Plates = append(sheet.Plates, p.Plate)
		}
		slices.Sort(sheet.Plates)
		sheet.Plates = slices.Compact(sheet.Plates)
		out = append(out, sheet)
	}
	return out
}

// facts lists flock by its size, tape, and the holes that are cut.
func (b builder) facts(list []Sheet) []Fact {
	var out []Fact
	for i, s := range list {
		same := func(o Sheet) bool { return o.Size == s.Size }
		if slices.IndexFunc(list, same) != i {
			continue
		}
		n := 0
		for _, o := range list {
			if same(o) {
				n++
			}
		}
		out = append(out, Fact{"Template flock", plural(n, "sheet") + ", " + s.Size})
	}
	if t := b.in.Tape; t.Width > 0 && t.Height > 0 {
		value := Area(math.Ceil(t.Width), math.Ceil(t.Height), unit.Millimetre)
		if t.PerSheet == 0 && t.Sheets > 1 {
			value += ", pieced from " + plural(t.Sheets, "sheet")
		}
		out = append(out, Fact{"Tape for one transfer", value})
	}
	if s := b.holeSizes(); s != "" {
		out = append(out, Fact{"Holes", s})
	}
	if l := b.doc.Least; l != nil {
		out = append(out, Fact{"Plates", fewest(len(b.doc.Plates), *l)})
	}
	return out
}

// fewest prints "2, no fewer: SS10 comes in two colours", or what is known where
// fewer were not found.
func fewest(plates int, l design.Least) string {
	_, why, _ := strings.Cut(l.Why, ": ")
	if plates <= l.Plates {
		return fmt.Sprintf("%d, no fewer: %s", plates, why)
	}
	return fmt.Sprintf("%d, at least %d: %s", plates, l.Plates, why)
}

// holeSizes prints "SS10 3.3 mm, SS6 2.4 mm", the largest first.
func (b builder) holeSizes() string {
	kinds := slices.Clone(b.doc.Kinds)
	slices.SortStableFunc(kinds, func(x, y design.Kind) int { return cmp.Compare(y.Hole, x.Hole) })
	var words []string
	for _, k := range kinds {
		w := k.Size + " " + unit.Length(k.Hole).Format(unit.Millimetre)
		if from := b.in.Fits[k.Size]; from != "" {
			w += " (" + from + ")"
		}
		if !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	return strings.Join(words, ", ")
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return Thousands(n) + " " + noun + "s"
}

// plateList prints "plate 1", "plates 1 and 2", "plates 1, 2 and 3".
func plateList(plates []int) string {
	var words []string
	for _, p := range plates {
		words = append(words, fmt.Sprint(p))
	}
	switch n := len(words); n {
	case 0:
		return "no plate"
	case 1:
		return "plate " + words[0]
	default:
		return "plates " + strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}
