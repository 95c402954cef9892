package lettering

import (
	"fmt"
	"strings"

	"github.com/go-text/typesetting/font"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// letter is one letter of a shaped line: a cluster of glyphs, or lines. Lengths are
// ems, y down from the base line; x is from the start of the line.
type letter struct {
	text    string // the characters that it stands for
	from    float64
	advance float64
	rings   []geom.Ring
	lines   []geom.Line
}

// middle is the place of the line that a letter stands about.
func (l letter) middle() float64 { return l.from + l.advance/2 }

func (l letter) bounds() geom.Box { return boundsOf(l.rings).Join(boundsOf(l.lines)) }

func (l letter) inked() bool { return len(l.rings)+len(l.lines) > 0 }

// lettersOf shapes one line of text, apart as of Shape; tol is the chord error in ems. Fault "letter-missing" names every letter that the face
// lacks, with the faces of known that have it.
func (f *Face) lettersOf(text string, apart bool, tol float64, known []*Face) ([]letter, error) {
	runes, bad := readable(text)
	if bad != 0 {
		return nil, fault.New("letter-missing", "", "the text has a character that cannot be set, U+%04X: take it out", bad)
	}
	if missing := f.Missing(text); len(missing) > 0 {
		return nil, missingFault(f, missing, known)
	}
	var out []letter
	var err error
	if f.lines != nil {
		out = f.lineLetters(runes)
	} else if out, err = f.outlineLetters(runes, apart, tol); err != nil {
		return nil, fault.New("font-unreadable", f.name, "%q cannot be set in it: %v", text, err)
	}
	return out, nil
}

func (l letter) moved(x float64) letter {
	l.from += x
	return l.mapped(func(p geom.Point) geom.Point { return geom.Point{X: p.X + x, Y: p.Y} })
}

// mapped gives the letter with every point of its drawing mapped.
func (l letter) mapped(f func(geom.Point) geom.Point) letter {
	rings, lines := l.rings, l.lines
	l.rings, l.lines = make([]geom.Ring, len(rings)), make([]geom.Line, len(lines))
	for i, r := range rings {
		l.rings[i] = make(geom.Ring, len(r))
		for k, p := range r {
			l.rings[i][k] = f(p)
		}
	}
	for i, r := range lines {
		l.lines[i] = make(geom.Line, len(r))
		for k, p := range r {
			l.lines[i][k] = f(p)
		}
	}
	return l
}

func (f *Face) lineLetters(runes []rune) []letter {
	var out []letter
	x := 0.0
	for _, r := range runes {
		found, _ := f.lines.letter(r)
		l := letter{text: string(r), advance: found.advance, lines: found.lines}
		out = append(out, l.moved(x))
		x += found.advance
	}
	return out
}

// outlineLetters shapes a line and gathers the glyphs of each cluster.
func (f *Face) outlineLetters(runes []rune, apart bool, tol float64) ([]letter, error) {
	glyphs, err := f.Shape(runes, apart)
	if err != nil {
		return nil, err
	}
	face := f.drawer()
	em := float64(f.font.Upem())
	var out []letter
	x := 0.0
	for i, g := range glyphs {
		if i == 0 || g.Cluster != glyphs[i-1].Cluster {
			out = append(out, letter{text: clusterText(runes, glyphs, i), from: x})
		}
		rings, err := outlineOf(face, font.GID(g.ID), tol)
		if err != nil {
			return nil, err
		}
		l := &out[len(out)-1]
		// filled before it is moved, so that the same glyph is the same everywhere
		drawn := letter{rings: geom.Fill(rings, geom.NonZero).Rings}.mapped(func(p geom.Point) geom.Point {
			return geom.Point{X: p.X + x + g.X/em, Y: p.Y - g.Y/em}
		})
		l.rings = append(l.rings, drawn.rings...)
		x += g.Advance / em
		l.advance = x - l.from
	}
	return out, nil
}

// clusterText gives the characters of the cluster of glyph i: up to the next cluster
// of the line, in the order of the text.
func clusterText(runes []rune, glyphs []Glyph, i int) string {
	end := len(runes)
	for _, g := range glyphs {
		if c := g.Cluster; c > glyphs[i].Cluster && c < end {
			end = c
		}
	}
	return string(runes[glyphs[i].Cluster:end])
}

// Missing lists the letters of a text, each once, that the face cannot set; line
// breaks are no letters.
func (f *Face) Missing(text string) []string {
	var out []string
	add := func(s string) {
		for _, known := range out {
			if known == s {
				return
			}
		}
		out = append(out, s)
	}
	for line := range strings.Lines(text) {
		runes, _ := readable(strings.TrimRight(line, "\r\n"))
		if f.lines != nil {
			for _, r := range runes {
				if _, ok := f.lines.letter(r); !ok {
					add(string(r))
				}
			}
			continue
		}
		glyphs, err := f.Shape(runes, false)
		if err != nil {
			add(string(runes))
		}
		for i, g := range glyphs {
			if g.ID == 0 {
				add(clusterText(runes, glyphs, i))
			}
		}
	}
	return out
}

// missingFault names each missing letter, its code points, and who has it.
func missingFault(f *Face, missing []string, known []*Face) error {
	var told []string
	for _, m := range missing {
		var codes, have []string
		for _, r := range m {
			codes = append(codes, fmt.Sprintf("U+%04X", r))
		}
		for _, k := range known {
			if len(k.Missing(m)) == 0 {
				have = append(have, k.name)
			}
		}
		who := "no face at hand has it: name a font file that does"
		if len(have) > 0 {
			who = "it is in " + strings.Join(have, ", ")
		}
		told = append(told, fmt.Sprintf("%q (%s); %s", m, strings.Join(codes, " "), who))
	}
	return fault.New("letter-missing", "", "%s has no letter %s", f.name, strings.Join(told, "; nor "))
}
