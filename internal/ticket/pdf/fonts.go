package pdf

import (
	_ "embed"
	"strings"
	"sync"

	"golang.org/x/image/font/sfnt"
)

// family is the face of the papers: Figtree, SIL Open Font License 1.1, as
// fonts/Figtree-OFL.txt says.
const family = "Figtree"

var (
	//go:embed fonts/Figtree-Regular.ttf
	regular []byte
	//go:embed fonts/Figtree-Bold.ttf
	bold []byte
)

// glyphs says which characters the face has. A face that cannot be read has
// none; a test prints with it.
var glyphs = sync.OnceValue(func() map[rune]bool {
	has := map[rune]bool{}
	face, err := sfnt.Parse(regular)
	if err != nil {
		return has
	}
	var buf sfnt.Buffer
	for r := rune(' '); r <= 0xffff; r++ {
		if g, err := face.GlyphIndex(&buf, r); err == nil && g != 0 {
			has[r] = true
		}
	}
	return has
})

// printable replaces what the face cannot print by "?", so that a name in
// another script shows that something is missing, and where.
func printable(s string) string {
	has := glyphs()
	return strings.Map(func(r rune) rune {
		switch {
		case has[r]:
			return r
		case r == '\n' || r == '\t':
			return ' '
		}
		return '?'
	}, s)
}
