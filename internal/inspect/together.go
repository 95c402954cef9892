package inspect

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// shared is a plate of one of several designs on a sheet.
type shared struct {
	design string
	plate  int
	box    geom.Box
}

// InspectTogether gives the broken rules of the sheets that several designs share:
// two designs of one name, a sheet on which they do not agree, and plates of two
// designs over each other. Inspect judges each design for itself, and what lies on
// a sheet of one design alone.
func InspectTogether(docs []design.Document) []Finding {
	m := &model{}
	on := map[int][]shared{}
	size := map[int]design.Sheet{}
	names := map[string]bool{}
	for _, doc := range docs {
		if names[doc.Design] {
			m.add(Finding{ID: Value, Stone: NoStone, Message: fmt.Sprintf("two designs on the sheets are called %q", doc.Design)})
		}
		names[doc.Design] = true
		for _, s := range doc.Sheets {
			if t, ok := size[s.Number]; !ok {
				size[s.Number] = s
			} else if math.Abs(t.Width-s.Width) > SameTolerance || math.Abs(t.Height-s.Height) > SameTolerance {
				m.add(Finding{ID: Sheet, Stone: NoStone, Value: s.Width, Limit: t.Width, Message: fmt.Sprintf("sheet %d is %.1f × %.1f mm for %q, and %.1f × %.1f mm for another design", s.Number, s.Width, s.Height, doc.Design, t.Width, t.Height)})
			}
			on[s.Number] = append(on[s.Number], boxes(doc, s)...)
		}
	}
	for _, number := range slices.SortedFunc(maps.Keys(on), cmp.Compare[int]) {
		m.checkShared(number, on[number])
	}
	return m.sorted()
}

// boxes gives where a design's own plates lie on a sheet.
func boxes(doc design.Document, s design.Sheet) []shared {
	var out []shared
	for _, at := range s.Placed {
		i := slices.IndexFunc(doc.Plates, func(p design.Plate) bool { return p.Number == at.Plate })
		if i < 0 || at.Design != doc.Design {
			continue // found by Inspect
		}
		f := doc.Plates[i].Frame
		w, h := f[2]-f[0], f[3]-f[1]
		if at.Turned {
			w, h = h, w
		}
		out = append(out, shared{doc.Design, at.Plate, geom.Box{MinX: at.X, MinY: at.Y, MaxX: at.X + w, MaxY: at.Y + h}})
	}
	return out
}

func (m *model) checkShared(number int, on []shared) {
	for i, a := range on {
		for _, b := range on[i+1:] {
			if a.design != b.design && a.box.Grow(-GapTolerance).Overlaps(b.box) {
				m.add(Finding{ID: Overlap, Stone: NoStone, X: b.box.MinX, Y: b.box.MinY, Message: fmt.Sprintf("plate %d of %q and plate %d of %q lie over each other on sheet %d", a.plate, a.design, b.plate, b.design, number)})
			}
		}
	}
}
