package cut

import (
	"fmt"
	"strings"
)

// Names gives each plate of the sheet a name that no other has: "plate-2", and
// "plate-2-copy-2" where the sheet holds the plate once more. Where several designs
// share the sheet, theirs comes first: "heron-badge-plate-2". Names have letters
// and digits of ASCII and hyphens alone, which every cut format takes.
func (s Sheet) Names() []string {
	prefix := s.prefixes()
	seen := map[string]int{}
	names := make([]string, len(s.Plates))
	for i, p := range s.Plates {
		name := fmt.Sprintf("%splate-%d", prefix[p.Design], p.Plate)
		seen[name]++
		names[i] = name
		if n := seen[name]; n > 1 {
			names[i] += fmt.Sprintf("-copy-%d", n)
		}
	}
	return names
}

// prefixes gives what comes before the names of each design's plates.
func (s Sheet) prefixes() map[string]string {
	out, taken := map[string]string{}, map[string]bool{}
	for _, p := range s.Plates {
		if _, ok := out[p.Design]; ok {
			continue
		}
		word := strings.Join(strings.FieldsFunc(strings.ToLower(p.Design), func(r rune) bool {
			return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9')
		}), "-")
		if word == "" {
			word = "design"
		}
		name := word
		for n := 2; taken[name]; n++ {
			name = fmt.Sprintf("%s-%d", word, n)
		}
		taken[name] = true
		out[p.Design] = name + "-"
	}
	if len(out) == 1 {
		for design := range out {
			out[design] = ""
		}
	}
	return out
}
