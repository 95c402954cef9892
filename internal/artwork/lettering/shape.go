package lettering

import (
	"slices"
	"unicode"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// Glyph is one glyph of a shaped line, in the order seen from left to right. Lengths
// are in units of the font file, y up. Cluster is the index of the first character
// that it stands for; glyphs of one cluster are one letter.
type Glyph struct {
	ID      uint32
	Cluster int
	Advance float64
	X, Y    float64 // the offset from the pen
}

// Shape turns one line of text into the glyphs of a face of outlines: kerning,
// ligatures and joins as the font has them, marks on their letters, right-to-left
// runs turned round by the bidirectional algorithm (UAX #9). Apart leaves out the
// ligatures that are not needed, for letters that are spaced out.
func (f *Face) Shape(text []rune, apart bool) (glyphs []Glyph, err error) {
	err = guarded(func() error {
		for _, run := range f.runs(text, apart) {
			shaper := shaping.HarfbuzzShaper{}
			out := shaper.Shape(run.Input)
			for _, g := range out.Glyphs {
				glyphs = append(glyphs, Glyph{
					ID: uint32(g.GlyphID), Cluster: g.ClusterIndex,
					Advance: units(g.XAdvance), X: units(g.XOffset), Y: units(g.YOffset),
				})
			}
		}
		return nil
	})
	return glyphs, err
}

func units(v fixed.Int26_6) float64 { return float64(v) / 64 }

// levelled is a run of one script and direction with its embedding level.
type levelled struct {
	shaping.Input
	level int
}

// runs cuts a line into runs and puts them into the order seen.
func (f *Face) runs(text []rune, apart bool) []levelled {
	face := f.drawer()
	in := shaping.Input{
		Text: text, RunEnd: len(text), Direction: di.DirectionLTR, Face: face,
		Size: fixed.I(int(f.font.Upem())), Language: language.NewLanguage("und"),
	}
	if apart {
		for _, tag := range []string{"liga", "clig"} {
			in.FontFeatures = append(in.FontFeatures, shaping.FontFeature{Tag: opentype.MustNewTag(tag)})
		}
	}
	right := fromRight(text)
	var seg shaping.Segmenter
	var out []levelled
	for _, run := range seg.Split(in, oneFace{face}) {
		if run.RunStart < run.RunEnd {
			out = append(out, levelled{run, levelOf(run.Direction.Progression() == di.TowardTopLeft, right)})
		}
	}
	reorder(out)
	return out
}

// fromRight says whether a line runs from the right: its first letter with a
// direction of its own does (UAX #9, rules P2 and P3).
func fromRight(text []rune) bool {
	for _, r := range text {
		p, _ := bidi.LookupRune(r)
		switch p.Class() {
		case bidi.L:
			return false
		case bidi.R, bidi.AL:
			return true
		}
	}
	return false
}

// levelOf gives the embedding level of a run in a line without explicit embeddings.
func levelOf(rightToLeft, paragraph bool) int {
	switch {
	case rightToLeft:
		return 1
	case paragraph:
		return 2
	}
	return 0
}

// oneFace answers every question for a face with the one.
type oneFace struct{ face *font.Face }

// ResolveFace is of shaping.Fontmap.
func (o oneFace) ResolveFace(rune) *font.Face { return o.face }

// reorder puts runs into the order seen: from the highest level down to the lowest
// odd one, every stretch of that level or higher is turned round (UAX #9, rule L2).
func reorder(runs []levelled) {
	highest := 0
	for _, r := range runs {
		highest = max(highest, r.level)
	}
	for level := highest; level > 0; level-- {
		for i := 0; i < len(runs); i++ {
			j := i
			for j < len(runs) && runs[j].level >= level {
				j++
			}
			slices.Reverse(runs[i:j])
			i = max(i, j-1)
		}
	}
}

// readable says whether a line of text can be set at all: a control character has
// no letter. The text is brought to its composed form first, as file lists differ
// in it (Unicode NFC).
func readable(text string) ([]rune, rune) {
	out := []rune(norm.NFC.String(text))
	for _, r := range out {
		if unicode.IsControl(r) || r == unicode.ReplacementChar {
			return out, r
		}
	}
	return out, 0
}
