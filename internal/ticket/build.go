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
	"brushfall/internal/wording"
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
	Language wording.Language
	Document design.Document
	Counts   []Count
	Tape     Tape
	Press    Material
	Across   float64 // mm that the picture shows from side to side; 0: not known, and no scale is said
	More     []Fact  // comes after the ticket's own
	// Fits says of a size by its name where its hole comes from; a size that is
	// not in it is left without a word.
	Fits map[string]string
}

type kindKey struct{ size, colour string }

// Build makes the ticket. Faults: "ticket-counts" where the counts, the stones
// and the holes of the plates do not tell the same number, "ticket-plate" for a
// plate without a frame or a stone on no plate, "ticket-press" for an unknown
// material, and those of the colour look-up.
func Build(in Input) (Ticket, error) {
	b := builder{v: wording.In(in.Language), in: in, doc: in.Document, swatches: map[kindKey]Swatch{}, diameters: map[kindKey]float64{}, holes: map[kindKey]float64{}}
	if err := b.kinds(); err != nil {
		return Ticket{}, err
	}
	doc := in.Document
	t := Ticket{
		Language: in.Language, Design: doc.Design, Code: Code(doc), Stones: len(doc.Stones), Lifts: len(doc.Plates), Sheets: b.sheets(),
		Size:     b.v.Area(doc.Width, doc.Height),
		SizeInch: b.v.AreaInches(doc.Width, doc.Height),
		Across:   in.Across,
		Mirrored: doc.Mirrored, Lettered: len(doc.Plates) > 0 && doc.Plates[0].Code != "",
		Cautions: cautions(b.v, in.Press),
	}
	var err error
	if t.Plates, err = b.plates(); err != nil {
		return Ticket{}, err
	}
	if t.Counts, err = b.counts(t.Plates); err != nil {
		return Ticket{}, err
	}
	if t.Press, err = press(b.v, in.Press); err != nil {
		return Ticket{}, err
	}
	t.Facts = append(b.facts(t.Sheets), in.More...)
	t.Steps = steps(b.v, t)
	return t, nil
}

// Code gives eight letters and digits that tell the templates of one design from
// those of every other, as they may be cut into the plates; see plate.Code.
func Code(doc design.Document) string { return plate.Code(doc.Plates) }

type builder struct {
	v         wording.Voice
	in        Input
	doc       design.Document
	swatches  map[kindKey]Swatch
	diameters map[kindKey]float64
	holes     map[kindKey]float64
}

func (b builder) kinds() error {
	for _, k := range b.doc.Kinds {
		c, err := k.Look()
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
		out = append(out, Plate{Number: p.Number, Sheet: b.sheetOf(p.Number), Frame: p.Frame, Notch: p.Notch, Nicks: p.Nicks, Size: b.v.Area(w, h)})
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
		b.weigh(out[i].Brush)
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
	p.Brush = append(p.Brush, Brush{Size: s.Size, Colour: s.Colour, Swatch: look, Pieces: 1})
}

// weigh says what the stones of each kind weigh, where the counts say it of the kind.
func (b builder) weigh(brush []Brush) {
	for i := range brush {
		for _, c := range b.in.Counts {
			if c.Size == brush[i].Size && c.Colour == brush[i].Colour && c.Take > 0 {
				brush[i].Grams = c.Grams / float64(c.Take) * float64(brush[i].Pieces)
			}
		}
	}
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
func (b builder) sheets() []Sheet {
	var out []Sheet
	for _, s := range b.doc.Sheets {
		sheet := Sheet{Number: s.Number, Size: b.v.Area(s.Width, s.Height)}
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
		out = append(out, Fact{b.v.Say("Template flock"), b.v.Say("%d sheets, %s", n, s.Size)})
	}
	if t := b.in.Tape; t.Width > 0 && t.Height > 0 {
		value := b.v.Area(math.Ceil(t.Width), math.Ceil(t.Height))
		if t.PerSheet == 0 && t.Sheets > 1 {
			value = b.v.Say("%s, pieced from %d sheets", value, t.Sheets)
		}
		out = append(out, Fact{b.v.Say("Tape for one transfer"), value})
	}
	if s := b.holeSizes(); s != "" {
		out = append(out, Fact{b.v.Say("Holes"), s})
	}
	if l := b.doc.Least; l != nil {
		out = append(out, Fact{b.v.Say("Plates"), fewest(b.v, len(b.doc.Plates), *l)})
	}
	return out
}

// holeSizes prints "SS10 3.3 mm, SS6 2.4 mm", the largest first, and where they come
// from: once where it is the same of all.
func (b builder) holeSizes() string {
	kinds := slices.Clone(b.doc.Kinds)
	slices.SortStableFunc(kinds, func(x, y design.Kind) int { return cmp.Compare(y.Hole, x.Hole) })
	alike := !slices.ContainsFunc(kinds, func(k design.Kind) bool { return b.in.Fits[k.Size] != b.in.Fits[kinds[0].Size] })
	var words []string
	for _, k := range kinds {
		w := k.Size + " " + b.v.Say("%s mm", b.v.Decimal(k.Hole, 2))
		if from := b.in.Fits[k.Size]; from != "" && !alike {
			w += " (" + from + ")"
		}
		if !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	out := strings.Join(words, ", ")
	if alike && len(kinds) > 0 && b.in.Fits[kinds[0].Size] != "" {
		out += " · " + b.in.Fits[kinds[0].Size]
	}
	return out
}
