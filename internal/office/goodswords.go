package office

import (
	"slices"

	"brushfall/internal/shop"
	"brushfall/internal/wording"
)

// kindWords names a kind on a paper: the built-in goods in its language, stones and what
// the shop named itself as they are.
func kindWords(v wording.Voice, k shop.Kind) string {
	if i := slices.IndexFunc(builtInKinds(), func(key wording.Key) bool { return string(key) == k.String() }); i >= 0 {
		return v.Say(builtInKinds()[i])
	}
	return k.String()
}

// builtInKinds are the goods of the catalogue, by class and name.
func builtInKinds() []wording.Key {
	return []wording.Key{
		"flock sheet 12 x 20 in", "tape sheet 12 x 12 in", "film sheet 12 x 12 in",
		"blank disc 3 in", "blank bow", "blank bag",
		"blank hoodie s", "blank hoodie m", "blank hoodie l", "blank hoodie xl", "blank hoodie xxl",
	}
}
