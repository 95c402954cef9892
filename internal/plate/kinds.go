package plate

import (
	"cmp"
	"slices"

	"brushfall/internal/design"
)

// searchSteps bounds the search for the best way to share kinds out over
// plates. A design of a dozen kinds is searched to the end; beyond that the
// number of plates is still the fewest, and only the tidiness may suffer.
const searchSteps = 200_000

// clash says whether two kinds cannot share a plate: they are one size in two
// colours, or the smallest stones of the larger enter the holes of the
// smaller. Brushing the largest first fills its holes, so the other way round
// does no harm (common practice).
func clash(a, b design.Kind) bool {
	if a.Diameter < b.Diameter {
		a, b = b, a
	}
	return a.Size == b.Size || a.Diameter == b.Diameter || a.Smallest <= b.Hole
}

// compareKinds orders kinds by their smallest stone, then hole, then name. A
// kind takes up the diameters from its smallest stone to its hole and two kinds
// clash when these overlap, so clashes make an interval graph, and setting
// kinds onto the first plate that takes them, in this order, gives the fewest
// plates (Golumbic, Algorithmic Graph Theory and Perfect Graphs, 1980, ch. 8).
func compareKinds(a, b design.Kind) int {
	return cmp.Or(cmp.Compare(a.Smallest, b.Smallest), cmp.Compare(a.Hole, b.Hole),
		cmp.Compare(a.Size, b.Size), cmp.Compare(a.Colour, b.Colour))
}

// partition is the search for the best way to set kinds onto plates.
type partition struct {
	kinds  []design.Kind
	apart  [][]bool // apart[i][j]: the kinds i and j cannot share a plate
	weight []int    // plates that a kind needs by itself
	steps  int

	class    []int
	classes  [][]int
	best     []int
	bestCost [2]int
}

// partitionKinds gives each kind its class: kinds of a class share their
// plates. It makes the sum over the classes of their heaviest weight least, and
// then the number of times a colour is met on another plate.
func partitionKinds(kinds []design.Kind, apart [][]bool, weight []int) []int {
	p := &partition{kinds: kinds, apart: apart, weight: weight, class: make([]int, len(kinds))}
	p.search(0)
	return p.best
}

func (p *partition) search(i int) {
	p.steps++
	if p.best != nil && p.steps > searchSteps {
		return
	}
	cost := p.cost()
	if p.best != nil && slices.Compare(cost[:], p.bestCost[:]) >= 0 {
		return // setting more kinds never lowers the cost
	}
	if i == len(p.kinds) {
		p.best, p.bestCost = slices.Clone(p.class), cost
		return
	}
	for c := 0; c <= len(p.classes); c++ {
		if c == len(p.classes) {
			p.classes = append(p.classes, []int{i})
			p.class[i] = c
			p.search(i + 1)
			p.classes = p.classes[:c]
			return
		}
		if slices.ContainsFunc(p.classes[c], func(j int) bool { return p.apart[i][j] }) {
			continue
		}
		p.classes[c] = append(p.classes[c], i)
		p.class[i] = c
		p.search(i + 1)
		p.classes[c] = p.classes[c][:len(p.classes[c])-1]
	}
}

// cost gives the plates and the meetings of colours and plates of the kinds set so far.
func (p *partition) cost() [2]int {
	var cost [2]int
	for _, c := range p.classes {
		heaviest := 0
		for n, i := range c {
			heaviest = max(heaviest, p.weight[i])
			if !slices.ContainsFunc(c[:n], func(j int) bool { return p.kinds[j].Colour == p.kinds[i].Colour }) {
				cost[1]++
			}
		}
		cost[0] += heaviest
	}
	return cost
}
