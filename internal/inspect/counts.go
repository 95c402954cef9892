package inspect

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"brushfall/internal/design"
)

// Tally is a number of pieces for each size and colour.
type Tally map[TallyKey]int

// TallyKey names a kind as the papers do.
type TallyKey struct{ Size, Colour string }

// InspectCounts finds the kinds whose pieces in a paper or a cut file (source
// says which, for the message) are not the stones of the design.
func InspectCounts(doc design.Document, source string, counted Tally) []Finding {
	stones := Tally{}
	for _, s := range doc.Stones {
		stones[TallyKey{s.Size, s.Colour}]++
	}
	keys := map[TallyKey]bool{}
	for k := range stones {
		keys[k] = true
	}
	for k := range counted {
		keys[k] = true
	}
	sorted := slices.SortedFunc(maps.Keys(keys), func(a, b TallyKey) int {
		return cmp.Or(cmp.Compare(a.Size, b.Size), cmp.Compare(a.Colour, b.Colour))
	})
	var out []Finding
	for _, k := range sorted {
		if counted[k] != stones[k] {
			out = append(out, Finding{ID: Count, Stone: NoStone, Value: float64(counted[k]), Limit: float64(stones[k]), Message: fmt.Sprintf("%s counts %d pieces of %s %s, the design has %d", source, counted[k], k.Size, k.Colour, stones[k])})
		}
	}
	return out
}
