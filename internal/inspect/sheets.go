package inspect

import (
	"fmt"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// laid is a plate of this design on a sheet.
type laid struct {
	plate int
	box   geom.Box
}

// checkSheets holds the sheets to the plates: each placed once, or all of them as
// often as each other where several templates are cut, within its sheet, over no
// other. Plates of other designs on a shared sheet are of a size that this design
// does not know: InspectTogether judges them.
func (m *model) checkSheets() {
	frames := map[int]design.Plate{}
	for _, p := range m.doc.Plates {
		frames[p.Number] = p
	}
	times := map[int]int{}
	for _, s := range m.doc.Sheets {
		var on []laid
		for _, p := range s.Placed {
			if p.Design != m.doc.Design {
				continue
			}
			times[p.Plate]++
			plate, ok := frames[p.Plate]
			if !ok {
				m.add(Finding{ID: Unplaced, Stone: NoStone, X: p.X, Y: p.Y, Value: float64(p.Plate), Message: fmt.Sprintf("sheet %d holds plate %d, which there is not", s.Number, p.Plate)})
				continue
			}
			on = append(on, m.lay(s, p, plate))
		}
		m.checkOverlaps(s, on)
	}
	most := 1
	for _, p := range m.doc.Plates {
		most = max(most, times[p.Number])
	}
	often := "once"
	if most > 1 {
		often = fmt.Sprintf("%d times as another", most)
	}
	for _, p := range m.doc.Plates {
		if n := times[p.Number]; n != most {
			m.add(Finding{ID: Unplaced, Stone: NoStone, X: p.Frame[0], Y: p.Frame[1], Value: float64(n), Limit: float64(most), Message: fmt.Sprintf("plate %d is %d times on the sheets, not %s", p.Number, n, often)})
		}
	}
}

// lay gives the place of a plate on its sheet, and finds it over the edge.
func (m *model) lay(s design.Sheet, p design.Placed, plate design.Plate) laid {
	w, h := plate.Frame[2]-plate.Frame[0], plate.Frame[3]-plate.Frame[1]
	if p.Turned {
		w, h = h, w
	}
	box := geom.Box{MinX: p.X, MinY: p.Y, MaxX: p.X + w, MaxY: p.Y + h}
	inside := box.MinX >= -GapTolerance && box.MinY >= -GapTolerance &&
		box.MaxX <= s.Width+GapTolerance && box.MaxY <= s.Height+GapTolerance
	if !inside {
		m.add(Finding{ID: Sheet, Stone: NoStone, X: p.X, Y: p.Y, Message: fmt.Sprintf("plate %d, %.1f × %.1f mm, reaches over the edge of sheet %d, %.1f × %.1f mm", p.Plate, w, h, s.Number, s.Width, s.Height)})
	}
	return laid{p.Plate, box}
}

func (m *model) checkOverlaps(s design.Sheet, on []laid) {
	for i, a := range on {
		for _, b := range on[i+1:] {
			if a.box.Grow(-GapTolerance).Overlaps(b.box) {
				m.add(Finding{ID: Overlap, Stone: NoStone, X: b.box.MinX, Y: b.box.MinY, Message: fmt.Sprintf("plates %d and %d lie over each other on sheet %d", a.plate, b.plate, s.Number)})
			}
		}
	}
}
