package job

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/unit"
)

// Bounds of mixed sizes: a row of a thousand stones with one accent is a slip,
// and so is a fourth size in the gaps of the third.
const (
	leastEvery, mostEvery = 2, 1000
	mostFills             = 3
)

// none is the word that takes back what the job asks for, in a rule.
const none = "none"

// isNone says whether a node is the word none.
func (s source) isNone(n ast.Node) bool {
	text, err := s.text(n, "")
	return err == nil && strings.EqualFold(strings.TrimSpace(text), none)
}

// readAccents reads "none" or a mapping of stone, every and corners. Of every and
// corners one at least must be there.
func readAccents(s source, n ast.Node, at *Setting) error {
	at.Accents = nil
	if s.isNone(n) {
		return nil
	}
	a := AccentWish{Stone: at.Stone, Every: math.MaxInt32}
	fields := func() []field[AccentWish] {
		return []field[AccentWish]{
			part("stone", stoneFields, func(a *AccentWish) *StoneWish { return &a.Stone }),
			set("every", parseEvery, func(a *AccentWish) *int { return &a.Every }),
			set("corners", parseYes, func(a *AccentWish) *bool { return &a.Corners }),
		}
	}
	if err := fill(s, n, "accents", &a, fields()); err != nil {
		return err
	}
	switch {
	case a.Stone.Size == at.Stone.Size && a.Stone.Colour.Name == at.Stone.Colour.Name:
		return s.fail(n, "accents", "the accents are %s %s as the other stones are; give them another size or colour: stone: {size: SS16, colour: jet}", a.Stone.Size.Name, a.Stone.Colour.Name)
	case a.Every == math.MaxInt32 && !a.Corners:
		return s.fail(n, "accents", "say where the accents go: every: 5 for every fifth stone of a row, corners: yes for its corners, or both")
	case at.Treatment != nil && !slices.Contains(at.Treatment, design.Rim) && !slices.Contains(at.Treatment, design.Spine):
		return s.fail(n, "accents", "accents stand in rows, and the treatment here has none; add rim or spine to it, or leave the accents out")
	}
	at.Accents = &a
	return nil
}

func parseEvery(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < leastEvery || n > mostEvery {
		return 0, fault.New("accents", "", "every is %q; it must be a whole number from %d to %d: 5 makes every fifth stone an accent", text, leastEvery, mostEvery)
	}
	return n, nil
}

// readFill reads "none", one stone or a list of stones, each smaller than the one
// before and than the region's own.
func readFill(s source, n ast.Node, at *Setting) error {
	at.Fill = nil
	if s.isNone(n) {
		return nil
	}
	nodes := items(n)
	if len(nodes) == 0 || len(nodes) > mostFills {
		return s.fail(n, "fill", "fill takes one to %d stones: fill: {size: SS6, colour: crystal}, or none", mostFills)
	}
	if at.Treatment != nil && !slices.Contains(at.Treatment, design.Bed) {
		return s.fail(n, "fill", "fill is for the gaps of a bed, and the treatment here has none; add bed to it, or leave fill out")
	}
	last := at.Stone.Size
	for _, node := range nodes {
		w := at.Stone
		if err := fill(s, node, "fill", &w, stoneFields()); err != nil {
			return err
		}
		if w.Size.Largest >= last.Largest {
			return s.fail(node, "fill", "%s does not go into the gaps that %s leaves; the stones of fill must be smaller, each than the one before", w.Size.Name, last.Name)
		}
		last = w.Size
		at.Fill = append(at.Fill, w)
	}
	return nil
}

// accents gives the accents of a setting to the layout.
func (t Setting) accents(web unit.Length) *layout.Accents {
	if t.Accents == nil {
		return nil
	}
	return &layout.Accents{Extra: t.extra(t.Accents.Stone, web), Every: t.Accents.Every, Corners: t.Accents.Corners}
}

// fills gives the stones for the gaps that are smaller than the region's own: a
// rule may have a smaller stone than the job whose fill it takes over.
func (t Setting) fills(web unit.Length) []layout.Extra {
	var out []layout.Extra
	for _, w := range t.Fill {
		if w.Size.Largest < t.Stone.Size.Largest {
			out = append(out, t.extra(w, web))
		}
	}
	return out
}

func (t Setting) extra(w StoneWish, web unit.Length) layout.Extra {
	return layout.Extra{Size: w.Size.Name, Colour: w.Colour.Name, Diameter: w.Size.Largest, Gap: t.Gap.Of(w.Size, web)}
}

// otherSizes lists the gaps of the other sizes that stand in a region.
func otherSizes(r layout.Region, stones []design.Stone) []design.SizeGap {
	var out []design.SizeGap
	for _, e := range r.Extras() {
		known := e.Size == r.Size || slices.ContainsFunc(out, func(s design.SizeGap) bool { return s.Size == e.Size })
		if !known && slices.ContainsFunc(stones, func(s design.Stone) bool { return s.Region == r.ID && s.Size == e.Size }) {
			out = append(out, design.SizeGap{Size: e.Size, Gap: e.Gap})
		}
	}
	return out
}

// kindsOf gathers the kinds of the stones, in the order in which they first
// occur. A size that is not of the catalogue is no kind, which inspection finds.
func (j Job) kindsOf(stones []design.Stone) []design.Kind {
	var out []design.Kind
	known := map[[2]string]bool{}
	for _, st := range stones {
		key := [2]string{st.Size, st.Colour}
		if known[key] {
			continue
		}
		size, err := j.Stones.FindSize(st.Size)
		if err != nil {
			continue
		}
		known[key] = true
		size = j.fit(size)
		kind := design.Kind{
			Size: st.Size, Colour: st.Colour, Diameter: size.Largest, Smallest: size.Smallest, Hole: size.Hole, Height: size.Height,
		}
		if c, err := j.Stones.FindColour(st.Colour); err == nil && c.Own {
			kind.Shown, kind.Finish = c.Hex, c.Finish
		}
		out = append(out, kind)
	}
	return out
}
