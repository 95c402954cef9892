package ticket

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"brushfall/internal/wording"
)

// steps tells the making of a transfer with the plates and stones of this
// design. The order of the work is common practice: one hinge, plate after
// plate in the same place, the largest stones of a plate first.
func steps(v wording.Voice, t Ticket) []Step {
	if len(t.Plates) == 0 {
		return nil
	}
	first, last := t.Plates[0], t.Plates[len(t.Plates)-1]
	out := []Step{
		{Title: v.Say("Cut"), Text: cutText(v, t)},
		{Title: v.Say("Weed"), Text: weedText(v, t)},
		{Title: v.Say("Set up the tray"), Plate: first.Number, Text: v.Say(
			"Lay plate %d on a flock-lined tray, the notch at the far edge, and mark where its frame lies. "+
				"Cut tape to cover the frame and reach the tray's raised edge.", first.Number)},
	}
	for i, p := range t.Plates {
		out = append(out, Step{Title: v.Say("Brush plate %d", p.Number), Plate: p.Number, Text: brushText(v, p)})
		out = append(out, liftStep(v, p, i == 0, i == len(t.Plates)-1))
		if i < len(t.Plates)-1 {
			out = append(out, changeStep(v, p, t.Plates[i+1]))
		}
	}
	return append(out, Step{Title: v.Say("Finish"), Plate: last.Number, Text: v.Say(
		"Mend gaps with tweezers. Lay the transfer on its backing, trim the hinge and write %s on it. "+
			"It can be shelved and pressed another day.", t.Code)})
}

func cutText(v wording.Voice, t Ticket) string {
	var parts []string
	for _, s := range t.Sheets {
		parts = append(parts, v.Say("sheet %d holds %s", s.Number, plateList(v, s.Plates)))
	}
	text := v.Say("Cut the flock.")
	if len(parts) > 0 {
		text = v.Say("Cut the flock: %s.", strings.Join(parts, "; "))
	}
	if t.Mirrored {
		text += " " + v.Say("Cut it from its back: the cut files are mirrored. Do not mirror them once more.")
	}
	return text + " " + v.Say("New blade, flock or stones? Cut trial holes first: a stone must drop in and not tip.")
}

func weedText(v wording.Voice, t Ticket) string {
	text := v.Say("Peel each plate away from its discs, which are waste; every hole must be open.")
	if t.Lettered {
		text += " " + v.Say("Letters at the bottom edge say design and plate; they stay in the flock.")
	}
	if len(t.Plates) > 1 {
		text += " " + v.Say("Nicks right of the notch number the plates.") + " "
		if apart(t.Plates) {
			return text + v.Say("Stacked notch on notch, their frames agree and no hole shows through another.")
		}
		text += v.Say("Stacked notch on notch, their frames agree.")
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

func brushText(v wording.Voice, p Plate) string {
	var parts []string
	for i, k := range p.Brush {
		kind := k.Size + " " + k.Colour
		switch {
		case i > 0:
			parts = append(parts, v.Say("pour off what is left over, then %[1]s into the other %[2]d holes", kind, k.Pieces))
		case len(p.Brush) > 1:
			parts = append(parts, v.Say("Largest first: pour %[1]s and brush in light circles to fill %[2]d holes", kind, k.Pieces))
		default:
			parts = append(parts, v.Say("Pour %[1]s and brush in light circles to fill %[2]d holes", kind, k.Pieces))
		}
	}
	return strings.Join(parts, "; ") + ". " + v.Say("Turn face-down stones with tweezers.")
}

func liftStep(v wording.Voice, p Plate, first, last bool) Step {
	s := Step{Title: v.Say("Lift plate %d", p.Number), Plate: p.Number}
	if first {
		s.Text = v.Say("Stick the tape's end on the tray's raised edge: the hinge, which stays there. Fold the tape down, rub it on, lift slowly and fold it back with the stones.")
	} else {
		s.Text = v.Say("Fold the same tape down on its hinge, rub it on, lift slowly: the new stones join those already there.")
	}
	if last {
		s.Text += " " + v.Say("Then peel the tape off the edge.")
	}
	return s
}

func changeStep(v wording.Voice, from, to Plate) Step {
	return Step{Title: v.Say("Change to plate %d", to.Number), Plate: to.Number, Text: v.Say(
		"Take plate %d away and clear every stray stone. Put plate %d exactly where it lay: edges on the marks, notch on notch.", from.Number, to.Number)}
}

// plateList prints "plate 1", "plates 1 and 2", "plates 1, 2 and 3".
func plateList(v wording.Voice, plates []int) string {
	var words []string
	for _, p := range plates {
		words = append(words, v.Whole(p))
	}
	switch len(words) {
	case 0:
		return v.Say("no plate")
	case 1:
		return v.Say("plate %s", words[0])
	}
	return v.Say("plates %s", v.List(words))
}
