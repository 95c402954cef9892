package trial

import (
	"bytes"
	"fmt"
	"io/fs"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/geom"
)

// letterHeights are the heights in mm that letters are set at, each letter by
// its own height. All letters are set at the first, every second at the other.
func letterHeights() [2]float64 { return [2]float64{60, 120} }

// letters holds bowls, diagonals, thin joints, counters, tails and a sharp apex.
const letters = "ABRSgk&5we"

// faces lists the fonts under trial/testdata/fonts: bold, serif, script, italic, slab.
func faces() [][2]string {
	return [][2]string{
		{"archivo-black", "ArchivoBlack_400Regular.ttf"},
		{"lora", "Lora_400Regular.ttf"},
		{"dancing-script", "DancingScript_700Bold.ttf"},
		{"libre-baskerville", "LibreBaskerville_400Regular_Italic.ttf"},
		{"arvo", "Arvo_700Bold.ttf"},
	}
}

func letterShapes(tree fs.FS) ([]Shape, error) {
	var out []Shape
	for i, f := range faces() {
		file := "trial/testdata/fonts/" + f[0] + "/" + f[1]
		data, err := fs.ReadFile(tree, file)
		if err != nil {
			return nil, broken(file, err)
		}
		face, err := font.ParseTTF(bytes.NewReader(data))
		if err != nil {
			return nil, broken(file, err)
		}
		for k, letter := range letters {
			for h, height := range letterHeights() {
				if h == 1 && (k+i)%2 == 1 {
					continue
				}
				area, err := outline(face, letter, height)
				if err != nil {
					return nil, broken(file, err)
				}
				out = append(out, Shape{
					Name: fmt.Sprintf("%s-%c-%g", f[0], letter, height), Kind: "letter",
					Source: "font " + f[1] + ", OFL 1.1", Area: area,
				})
			}
		}
	}
	return out, nil
}

// outline gives a letter of the height in mm.
func outline(face *font.Face, letter rune, height float64) (geom.Shape, error) {
	id, ok := face.NominalGlyph(letter)
	if !ok {
		return geom.Shape{}, fmt.Errorf("no letter %c", letter)
	}
	drawn, ok := face.GlyphData(id).(font.GlyphOutline)
	if !ok {
		return geom.Shape{}, fmt.Errorf("letter %c has no outline", letter)
	}
	box := geom.EmptyBox()
	for _, s := range drawn.Segments {
		for _, p := range s.ArgsSlice() {
			box = box.Extend(glyphPoint(p))
		}
	}
	if !(box.Height() > 0) {
		return geom.Shape{}, fmt.Errorf("letter %c is flat", letter)
	}
	// Control points may lie outside the letter: near enough for the flattening.
	rings, ok := lettering.Contours(drawn.Segments, glyphPoint, chordError*box.Height()/height)
	if !ok {
		return geom.Shape{}, fmt.Errorf("letter %c has no outline", letter)
	}
	area := geom.Fill(rings, geom.NonZero)
	return stand(area, height/area.Bounds().Height()), nil
}

// glyphPoint turns font units, y up, to the program's axes.
func glyphPoint(p opentype.SegmentPoint) geom.Point {
	return geom.Point{X: float64(p.X), Y: -float64(p.Y)}
}
