package ticket

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// steps tells the making of a transfer with the plates and stones of this
// design. The order of the work is common practice: one hinge, plate after
// plate in the same place, the largest stones of a plate first.
func steps(t Ticket) []Step {
	if len(t.Plates) == 0 {
		return nil
	}
	first, last := t.Plates[0], t.Plates[len(t.Plates)-1]
	out := []Step{
		{Title: "Cut", Text: cutText(t)},
		{Title: "Weed", Text: weedText(t)},
		{Title: "Set up the tray", Plate: first.Number, Text: fmt.Sprintf(
			"Lay plate %d on a flock-lined tray, the notch at the far edge, and mark where its frame lies. "+
				"Cut tape to cover the frame and reach the tray's raised edge.", first.Number)},
	}
	for i, p := range t.Plates {
		out = append(out, Step{Title: fmt.Sprintf("Brush plate %d", p.Number), Plate: p.Number, Text: brushText(p)})
		out = append(out, liftStep(p, i == 0, i == len(t.Plates)-1))
		if i < len(t.Plates)-1 {
			out = append(out, changeStep(p, t.Plates[i+1]))
		}
	}
	return append(out, Step{Title: "Finish", Plate: last.Number, Text: fmt.Sprintf(
		"Mend gaps with tweezers. Lay the transfer on its backing, trim the hinge and write %s on it. "+
			"It can be shelved and pressed another day.", t.Code)})
}

func cutText(t Ticket) string {
	var parts []string
	for _, s := range t.Sheets {
		parts = append(parts, fmt.Sprintf("sheet %d holds %s", s.Number, plateList(s.Plates)))
	}
	text := "Cut the flock"
	if len(parts) > 0 {
		text += ": " + strings.Join(parts, "; ")
	}
	if t.Mirrored {
		text += ", from its back: the cut files are mirrored. Do not mirror them once more"
	}
	return text + ". New blade, flock or stones? Cut trial holes first: a stone must drop in and not tip."
}

func weedText(t Ticket) string {
	text := "Peel each plate away from its discs, which are waste; every hole must be open."
	if t.Lettered {
		text += " Letters at the bottom edge say design and plate; they stay in the flock."
	}
	if len(t.Plates) > 1 {
		text += " Nicks right of the notch number the plates. Stacked notch on notch, their frames agree"
		if apart(t.Plates) {
			text += " and no hole shows through another"
		}
		text += "."
	}
	return text
}

// apart says whether no hole of one plate overlaps a hole of another: sorted
// along x, only neighbours closer than the widest hole are compared.
func apart(plates []Plate) bool {
	type spot struct {
		Hole
		plate int
	}
	var all []spot
	widest := 0.0
	for _, p := range plates {
		for _, h := range p.Holes {
			all = append(all, spot{h, p.Number})
			widest = max(widest, h.D)
		}
	}
	slices.SortFunc(all, func(a, b spot) int { return cmp.Compare(a.X, b.X) })
	for i, a := range all {
		for _, b := range all[i+1:] {
			if b.X-a.X > widest {
				break
			}
			if a.plate != b.plate && math.Hypot(b.X-a.X, b.Y-a.Y) < (a.D+b.D)/2 {
				return false
			}
		}
	}
	return true
}

func brushText(p Plate) string {
	var b strings.Builder
	for i, k := range p.Brush {
		switch {
		case i > 0:
			fmt.Fprintf(&b, "; pour off what is left over, then %s %s into the other %s", k.Size, k.Colour, plural(k.Pieces, "hole"))
		case len(p.Brush) > 1:
			fmt.Fprintf(&b, "Largest first: pour %s %s and brush in light circles to fill %s", k.Size, k.Colour, plural(k.Pieces, "hole"))
		default:
			fmt.Fprintf(&b, "Pour %s %s and brush in light circles to fill %s", k.Size, k.Colour, plural(k.Pieces, "hole"))
		}
	}
	return b.String() + ". Turn face-down stones with tweezers."
}

func liftStep(p Plate, first, last bool) Step {
	s := Step{Title: fmt.Sprintf("Lift plate %d", p.Number), Plate: p.Number}
	if first {
		s.Text = "Stick the tape's end on the tray's raised edge: the hinge, which stays there. Fold the tape down, rub it on, lift slowly and fold it back with the stones."
	} else {
		s.Text = "Fold the same tape down on its hinge, rub it on, lift slowly: the new stones join those already there."
	}
	if last {
		s.Text += " Then peel the tape off the edge."
	}
	return s
}

func changeStep(from, to Plate) Step {
	return Step{Title: fmt.Sprintf("Change to plate %d", to.Number), Plate: to.Number, Text: fmt.Sprintf(
		"Take plate %d away and clear every stray stone. Put plate %d exactly where it lay: edges on the marks, notch on notch.", from.Number, to.Number)}
}

// Thousands prints a count with commas: "1,440".
func Thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
