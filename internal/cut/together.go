package cut

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/fault"
)

// PlanTogether plans the sheets that several designs share, as Plan does those of
// one. Each document lists the sheets that its plates lie on, with its own plates
// alone; sheets of one number are one sheet. The answer has the sheets by their
// numbers, and on each the plates from its top, then from its left.
//
// Faults: those of Plan, "cut-design-twice" (two documents of one name),
// "cut-sheet-size" (two documents that differ in the size of a sheet) and
// "cut-mirrored" (one is cut mirrored, another is not).
func PlanTogether(docs []design.Document, opt Options) ([]Sheet, error) {
	all, owners, err := together(docs)
	if err != nil {
		return nil, err
	}
	sheets, err := Plan(all, opt)
	if err != nil {
		return nil, err
	}
	for _, s := range sheets {
		for i := range s.Plates {
			o := owners[s.Plates[i].Plate-1]
			s.Plates[i].Design, s.Plates[i].Plate = o.design, o.plate
		}
	}
	return sheets, nil
}

// owner is a plate of a design.
type owner struct {
	design string
	plate  int
}

// together makes one document of the plates and sheets of several. Its plates are
// numbered anew; owners has what each was, by the new number less one.
func together(docs []design.Document) (all design.Document, owners []owner, err error) {
	at := map[int]int{} // sheet number -> index
	for d, doc := range docs {
		if slices.ContainsFunc(docs[:d], func(o design.Document) bool { return o.Design == doc.Design }) {
			return all, nil, fault.New("cut-design-twice", doc.Design, "two designs on the sheets have one name: give one of them another")
		}
		if all.Mirrored = docs[0].Mirrored; doc.Mirrored != all.Mirrored {
			return all, nil, fault.New("cut-mirrored", doc.Design, "of the designs on the sheets some are cut mirrored and some are not: make them apart")
		}
		number := map[int]int{}
		for _, p := range doc.Plates {
			owners = append(owners, owner{doc.Design, p.Number})
			number[p.Number] = len(owners)
			p.Number = len(owners)
			all.Plates = append(all.Plates, p)
		}
		for _, s := range doc.Sheets {
			i, ok := at[s.Number]
			if !ok {
				i = len(all.Sheets)
				at[s.Number] = i
				all.Sheets = append(all.Sheets, design.Sheet{Number: s.Number, Width: s.Width, Height: s.Height})
			}
			if t := all.Sheets[i]; math.Abs(t.Width-s.Width) > onSheet || math.Abs(t.Height-s.Height) > onSheet {
				return all, nil, fault.New("cut-sheet-size", fmt.Sprintf("%s, sheet %d", doc.Design, s.Number), "it is %g × %g mm here and %g × %g mm in another design: lay the sheets out again", s.Width, s.Height, t.Width, t.Height)
			}
			for _, p := range s.Placed {
				if p.Design != doc.Design || number[p.Plate] == 0 {
					return all, nil, fault.New("cut-plate-unknown", fmt.Sprintf("sheet %d, plate %d", s.Number, p.Plate), "the sheet holds plate %d of %q, which is not in the design %q: lay the sheets out again", p.Plate, p.Design, doc.Design)
				}
				p.Design, p.Plate = all.Design, number[p.Plate]
				all.Sheets[i].Placed = append(all.Sheets[i].Placed, p)
			}
		}
	}
	slices.SortFunc(all.Sheets, func(a, b design.Sheet) int { return cmp.Compare(a.Number, b.Number) })
	for _, s := range all.Sheets {
		slices.SortFunc(s.Placed, func(a, b design.Placed) int {
			return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X), cmp.Compare(a.Plate, b.Plate))
		})
	}
	return all, owners, nil
}
