// Package plate shares the stones of a design out over plates: one plate is one
// template, the holes of one brush-in step in their frame. It finds the fewest
// steps, puts them in the order of brushing and draws the frame, the notch and
// the nicks that keep them apart and in register.
package plate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/singleline"
)

// WebTolerance is how much thinner than asked a web may come out, in mm. A
// layout at the tightest gap sets its holes exactly one web apart, so rounding
// must not cost a plate; a cutter steps in 0.025 mm, 25 times this.
const WebTolerance = 0.001

// Mode says how the kinds are shared out over plates.
type Mode int

// The modes.
const (
	Fewest   Mode = iota // as few brush-in steps as the rules allow
	ByColour             // no plate holds two colours
)

// Options are the rules of a plan. Lengths are mm. Web is the least flock
// between two holes of a plate, Border the least between a hole's edge and the
// frame. TapeStep is how much higher than a stone to be lifted one already on the
// tape may stand. RoundFrame, if not 0, makes the frame's sides whole multiples
// of it. Register asks for marks in the corners. Code is cut along the bottom
// edge in single-line letters, with the plate's number if there are several;
// OwnCode cuts what the function Code gives instead. Empty: no letters.
type Options struct {
	Mode       Mode
	Web        float64
	Border     float64
	TapeStep   float64
	RoundFrame float64
	Register   Register
	Code       string
	OwnCode    bool
}

// Bound is the proof of the number of plates: no plan under these options has
// fewer than Plates of them, and Why says so in words. Met says whether the
// plan has no more than that. Clique is the largest number of stones that stand
// too close for any two of them to share a plate: the part of the proof that webs
// alone give; 1 where no two do.
type Bound struct {
	Plates int
	Clique int
	Why    string
	Met    bool
}

// Note is something the owner should know of the plan.
type Note struct {
	// Code is "kind-split" (a kind is on several plates, as its stones stand too
	// close for one), "lift-step" (stones on the tape stand too high for a lift),
	// or "code-left-out" (there is no room for the design's code).
	Code    string
	Message string
}

// Result is a plan: the stones as they came in, each with its plate, and the
// plates in the order of brushing. A plate's holes are in the stones' order.
type Result struct {
	Stones []design.Stone
	Plates []design.Plate
	Bound  Bound
	Notes  []Note
}

// Plan shares stones out over plates. Every stone's size and colour must be one
// of kinds. Faults: "no-stones", "kind-unknown", "kind-twice", "kind-sizes"
// (not 0 < smallest ≤ diameter ≤ hole), "stone-place" (not a finite number),
// "plate-options", "letter-unknown" (of the code).
func Plan(stones []design.Stone, kinds []design.Kind, opt Options) (Result, error) {
	if err := opt.check(); err != nil {
		return Result{}, err
	}
	w, err := newWork(stones, kinds, opt)
	if err != nil {
		return Result{}, err
	}
	var bound Bound
	count := 0
	on := make([]int, len(stones)) // stone to plate, from 0
	for _, group := range w.groups(opt.Mode) {
		share, b := w.share(group)
		for i, p := range share.of {
			on[group.stones[i]] = count + p
		}
		count += share.count
		bound.Plates += b.Plates
		bound.Why = joinWords(bound.Why, b.Why)
	}
	if opt.Mode == ByColour {
		bound.Why = "each colour on its own: " + bound.Why
	}
	bound.Why = fmt.Sprintf("%s: %s", countWord(bound.Plates, "plate"), bound.Why)
	bound.Met = count == bound.Plates
	bound.Clique = len(clique(w.near))
	on = w.inBrushingOrder(on, count)
	out := Result{Stones: slices.Clone(stones), Bound: bound, Notes: append(w.splits(on), w.steps(on, count)...)}
	for i := range out.Stones {
		out.Stones[i].Plate = on[i] + 1
	}
	var notes []Note
	out.Plates, notes = w.plates(on, count)
	out.Notes = append(out.Notes, notes...)
	return out, nil
}

func (o Options) check() error {
	for _, l := range []struct {
		name  string
		value float64
	}{{"web", o.Web}, {"border", o.Border}, {"step of the tape", o.TapeStep}, {"rounding of the frame", o.RoundFrame}} {
		if !(l.value >= 0) || math.IsInf(l.value, 0) {
			return fault.New("plate-options", "", "the %s is %g mm; give a length of 0 mm or more", l.name, l.value)
		}
	}
	if o.Mode != Fewest && o.Mode != ByColour {
		return fault.New("plate-options", "", "there is no way %d to share stones out over plates", int(o.Mode))
	}
	if o.Register < NoRegister || o.Register > Corners {
		return fault.New("plate-options", "", "there are no register marks %d", int(o.Register))
	}
	_, err := singleline.Width(o.Code, LetterHeight)
	return err
}

// work is one plan in the making. kinds holds the kinds that occur, smallest
// first; kindOf gives each stone's; near gives, for each stone, those that
// cannot share a plate with it for want of web.
type work struct {
	opt    Options
	stones []design.Stone
	kinds  []design.Kind
	kindOf []int
	near   [][]int
	lones  map[int]lone // what is known of the kinds by themselves
}

// group is a set of kinds and their stones that are planned together.
type group struct{ kinds, stones []int }

func newWork(stones []design.Stone, kinds []design.Kind, opt Options) (*work, error) {
	if len(stones) == 0 {
		return nil, fault.New("no-stones", "", "the design has no stones, so there is no plate to cut; make it larger or take a smaller stone")
	}
	known := map[[2]string]int{}
	for i, k := range kinds {
		if _, twice := known[[2]string{k.Size, k.Colour}]; twice {
			return nil, fault.New("kind-twice", label(k), "the kind is listed twice; list every size and colour once")
		}
		if !(k.Smallest > 0 && k.Smallest <= k.Diameter && k.Diameter <= k.Hole) || math.IsInf(k.Hole, 0) {
			return nil, fault.New("kind-sizes", label(k), "smallest stone %g, largest %g, hole %g mm; give them in rising order, above 0", k.Smallest, k.Diameter, k.Hole)
		}
		known[[2]string{k.Size, k.Colour}] = i
	}
	used := make([]bool, len(kinds))
	for i, s := range stones {
		k, ok := known[[2]string{s.Size, s.Colour}]
		if !ok {
			return nil, fault.New("kind-unknown", fmt.Sprintf("stone %d", i+1), "%s %s is not among the kinds of the design; add it or change the stone", s.Size, s.Colour)
		}
		if math.IsNaN(s.X+s.Y) || math.IsInf(s.X+s.Y, 0) {
			return nil, fault.New("stone-place", fmt.Sprintf("stone %d", i+1), "its place is %g, %g; give finite numbers of mm", s.X, s.Y)
		}
		used[k] = true
	}
	w := &work{opt: opt, stones: stones, lones: map[int]lone{}}
	w.takeKinds(kinds, used)
	w.near = w.nearStones()
	return w, nil
}

// takeKinds keeps the kinds that occur, smallest first, and gives each stone its own.
func (w *work) takeKinds(kinds []design.Kind, used []bool) {
	for i, k := range kinds {
		if used[i] {
			w.kinds = append(w.kinds, k)
		}
	}
	slices.SortFunc(w.kinds, compareKinds)
	at := map[[2]string]int{}
	for i, k := range w.kinds {
		at[[2]string{k.Size, k.Colour}] = i
	}
	for _, s := range w.stones {
		w.kindOf = append(w.kindOf, at[[2]string{s.Size, s.Colour}])
	}
}

// groups gives the sets of kinds that may share plates at all.
func (w *work) groups(mode Mode) []group {
	var out []group
	at := map[string]int{}
	kindGroup := make([]int, len(w.kinds))
	for i, k := range w.kinds {
		name := ""
		if mode == ByColour {
			name = k.Colour
		}
		if _, ok := at[name]; !ok {
			at[name] = len(out)
			out = append(out, group{})
		}
		kindGroup[i] = at[name]
		out[at[name]].kinds = append(out[at[name]].kinds, i)
	}
	for s, k := range w.kindOf {
		g := &out[kindGroup[k]]
		g.stones = append(g.stones, s)
	}
	return out
}

// label gives a kind's name as the order of brushing lists it.
func label(k design.Kind) string { return k.Size + " " + k.Colour }

func joinWords(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

func countWord(n int, word string) string {
	if n != 1 {
		word += "s"
	}
	return fmt.Sprintf("%d %s", n, word)
}

// list joins names as a sentence does: "a", "a and b", "a, b and c".
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
