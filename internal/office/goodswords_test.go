package office

import (
	"slices"
	"testing"

	"brushfall/internal/shop"
	"brushfall/internal/wording"
)

// Every built-in row of the catalogue has a name in each language; what the shop named
// itself, and stones, stay.
func TestBuiltInGoodsSpeakTheLanguage(t *testing.T) {
	for _, g := range shop.BuiltInGoods() {
		k := g.Kind()
		if !slices.ContainsFunc(builtInKinds(), func(key wording.Key) bool { return string(key) == k.String() }) {
			t.Errorf("%s has no name on papers", k)
		}
		for _, l := range wording.Languages() {
			if got := kindWords(wording.In(l), k); (got == k.String()) != (l == wording.English) {
				t.Errorf("%s in %s: %q", k, l, got)
			}
		}
	}
	if n := len(shop.BuiltInGoods()); n != len(builtInKinds()) {
		t.Errorf("%d goods, %d names", n, len(builtInKinds()))
	}
	for _, k := range []shop.Kind{{Size: "SS10", Colour: "crystal"}, {Size: "flock", Colour: "sheet of Reed & Co"}} {
		if got := kindWords(wording.In(wording.German), k); got != k.String() {
			t.Errorf("%s is named %q", k, got)
		}
	}
}
