package catalogue

import (
	"slices"
	"testing"
)

// The sheets of the trade (common practice): flock of 12 × 20 in, tape of 12 × 12 in.
func TestGoods(t *testing.T) {
	seen := map[[2]string]bool{}
	first := map[string]Goods{}
	for _, g := range AllGoods() {
		key := [2]string{g.Class, g.Name}
		if seen[key] || !slices.Contains(Classes(), g.Class) || !(g.Width > 0 && g.Height > 0) || g.Source == "" {
			t.Errorf("%+v", g)
		}
		seen[key] = true
		if _, ok := first[g.Class]; !ok {
			first[g.Class] = g
		}
	}
	if f := first[Flock]; f.Width != 12*25.4 || f.Height != 20*25.4 || f.Source != "common practice" {
		t.Errorf("%+v", f)
	}
	if f := first[Tape]; f.Width != 12*25.4 || f.Height != 12*25.4 || f.Source != "common practice" {
		t.Errorf("%+v", f)
	}
	if len(first) != len(Classes()) {
		t.Errorf("%d classes have goods", len(first))
	}
}
