package trial

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Names gives invented names for trying lists: of one to three syllables, as long as
// names are, one in forty with an apostrophe or a hyphen. Of n about one in thirty
// comes twice. The same n and seed give the same names; none is taken from a list of
// persons.
func Names(n int, seed uint64) []string {
	draw := rand.New(rand.NewPCG(seed, 0))
	pick := func(from string) string {
		all := strings.Fields(from)
		return all[draw.IntN(len(all))]
	}
	syllable := func() string {
		return pick("b br c ch d dr f g gr h j k l m n p qu r s sh st t th tr v w z") + pick("a a e e i o u ai ea oo ia") + pick("- - n r l s m ck nd rt x")
	}
	var out []string
	for len(out) < n {
		if len(out) > 0 && draw.IntN(30) == 0 {
			out = append(out, out[draw.IntN(len(out))])
			continue
		}
		var b strings.Builder
		for range 1 + draw.IntN(3) {
			b.WriteString(syllable())
		}
		name := strings.ReplaceAll(b.String(), "-", "")
		name = strings.ToUpper(name[:1]) + name[1:]
		switch draw.IntN(80) {
		case 0:
			name = "O'" + name
		case 1:
			name = fmt.Sprintf("%s-%s", name, "Mae")
		}
		if len(name) >= 3 {
			out = append(out, name)
		}
	}
	return out
}
