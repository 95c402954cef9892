package pdf

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"io"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"

	"brushfall/internal/artwork/lettering"
)

// family is the face of the papers: Figtree, SIL Open Font License 1.1, as
// fonts/Figtree-OFL.txt says.
const family = "Figtree"

var (
	//go:embed fonts/Figtree-Regular.ttf
	regular []byte
	//go:embed fonts/Figtree-Bold.ttf
	bold []byte
	// For what Figtree lacks: DejaVu Sans has the other alphabets and Arabic, Droid
	// Sans Fallback has Chinese and Japanese. Their licences are beside them.
	//go:embed fonts/DejaVuSans.ttf.gz
	alphabets []byte
	//go:embed fonts/DroidSansFallbackFull.ttf.gz
	ideographs []byte
)

// fallback is a face that words are set in which Figtree lacks letters of.
type fallback struct {
	face *lettering.Face
	has  func(rune) bool
}

// glyphs says which characters the papers' own face has. A face that cannot be read
// has none; a test prints with it.
var glyphs = sync.OnceValue(func() func(rune) bool { return covers(regular) })

// fallbacks are read when the first word needs them. The files are part of the
// program and tests print with them, so a fault in one is a fault of the build.
var fallbacks = sync.OnceValue(func() []fallback {
	var out []fallback
	for _, f := range []struct {
		name   string
		packed []byte
	}{{"DejaVu Sans", alphabets}, {"Droid Sans Fallback", ideographs}} {
		r, err := gzip.NewReader(bytes.NewReader(f.packed))
		if err != nil {
			panic("embedded faces: " + err.Error())
		}
		data, err := io.ReadAll(r)
		if err != nil {
			panic("embedded faces: " + err.Error())
		}
		face, err := lettering.ReadFace(f.name, data)
		if err != nil {
			panic("embedded faces: " + err.Error())
		}
		out = append(out, fallback{face, covers(data)})
	}
	return out
})

// covers says which characters of the basic plane a face has a glyph for.
func covers(data []byte) func(rune) bool {
	has := map[rune]bool{}
	if face, err := sfnt.Parse(data); err == nil {
		var buf sfnt.Buffer
		for r := rune(' '); r <= 0xffff; r++ {
			if g, err := face.GlyphIndex(&buf, r); err == nil && g != 0 {
				has[r] = true
			}
		}
	}
	return func(r rune) bool { return has[r] }
}

// span is a part of a line in one face; face is nil for the papers' own.
type span struct {
	text string
	face *lettering.Face
}

// spans parts a line by the faces that have its letters. A word stays in one face
// where one has all of it; a letter that none has becomes "?", so that it shows that
// something is missing, and where. Words of one other face stay together with the
// spaces between, as their order may be from right to left.
func spans(s string) []span {
	own := glyphs()
	s = printable(s)
	if all(s, own) {
		return []span{{text: s}}
	}
	var out []span
	for _, word := range words(s) {
		for _, part := range faced(word, own) {
			out = join(out, part)
		}
	}
	return out
}

// fromRight says whether a word runs from right to left, by its first letter.
func fromRight(s string) bool {
	p, _ := bidi.LookupString(s)
	return p.Class() == bidi.R || p.Class() == bidi.AL
}

// join adds a span to a line: to the last one of its face and direction, also over a
// space. The line itself runs from left to right, as the papers' languages do.
func join(line []span, next span) []span {
	n := len(line)
	if n > 0 && line[n-1].face == next.face && fromRight(line[n-1].text) == fromRight(next.text) {
		line[n-1].text += next.text
		return line
	}
	if n > 1 && next.face != nil && line[n-2].face == next.face && line[n-1].text == " " && fromRight(line[n-2].text) == fromRight(next.text) {
		line[n-2].text += " " + next.text
		return line[:n-1]
	}
	return append(line, next)
}

// words parts a line into words and the spaces between, each alone.
func words(s string) []string {
	var out []string
	for len(s) > 0 {
		i := strings.IndexByte(s, ' ')
		if i == 0 {
			i = 1
		}
		if i < 0 {
			i = len(s)
		}
		out, s = append(out, s[:i]), s[i:]
	}
	return out
}

// faced gives a word in the first face that has all its letters, or letter by letter.
func faced(word string, own func(rune) bool) []span {
	if all(word, own) {
		return []span{{text: word}}
	}
	for _, f := range fallbacks() {
		if all(word, f.has) {
			return []span{{word, f.face}}
		}
	}
	var out []span
	for _, r := range word {
		part := span{text: "?"}
		if own(r) {
			part.text = string(r)
		} else {
			for _, f := range fallbacks() {
				if f.has(r) {
					part = span{string(r), f.face}
					break
				}
			}
		}
		out = join(out, part)
	}
	return out
}

func all(s string, has func(rune) bool) bool {
	for _, r := range s {
		if !has(r) {
			return false
		}
	}
	return true
}

// printable brings letters to their composed form, as faces have them, and takes
// out what no face prints: control characters and marks of direction.
func printable(s string) string {
	return norm.NFC.String(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) && r != '\u00a0':
			return ' '
		case unicode.IsControl(r):
			return '?'
		case unicode.Is(unicode.Cf, r) || r == '\ufe0e' || r == '\ufe0f':
			return -1
		}
		return r
	}, s))
}
