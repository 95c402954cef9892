// Package lettering sets words in stones: it reads faces from font files, shapes
// text with them, and gives the letters as regions of a drawing, alone or beside
// artwork. docs/formats/job.md says what may be asked of it.
package lettering

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// Face is a face that letters are set in: outlines from a font file, or single
// lines for one row of stones. It is safe for use by several at a time.
type Face struct {
	name    string
	digest  [sha256.Size]byte
	font    *font.Font // nil for a face of lines
	vary    []font.Variation
	lines   *lineFace // nil for a face of outlines
	capital float64   // height of a capital as a share of the em
}

// Name gives the name that the face goes by.
func (f *Face) Name() string { return f.name }

// Lined says whether the letters are open lines, one row of stones each.
func (f *Face) Lined() bool { return f.lines != nil }

// Digest tells faces apart by what is in them: SHA-256 of the file.
func (f *Face) Digest() [sha256.Size]byte { return f.digest }

// Bounds of a font file: the largest that ship with systems, for Chinese, have
// about 20 MB a face; a compressed one may not claim more than it could hold.
const (
	mostFontBytes = 64 << 20
	mostTables    = 256
)

// usualCapital is the height of a capital as a share of the em, for a face that has
// none and does not tell: that of most Latin faces (common practice).
const usualCapital = 0.7

// ReadFace reads a font file: TTF, OTF, WOFF, or a collection of them. name is what the
// face shall go by; what FontFile parts of it says which one is meant of a collection,
// or of a font whose outlines vary; otherwise it is the first, as the file has it by
// itself. Faults: "font-size" for one too large,
// "font-unreadable" for one that is no font, is damaged, or has no outlines.
func ReadFace(name string, data []byte) (*Face, error) {
	if len(data) > mostFontBytes {
		return nil, fault.New("font-size", name, "the font file is larger than %d MB", mostFontBytes>>20)
	}
	file, which, isFile := FontFile(name)
	if !isFile && bytes.HasPrefix(data, []byte("ttcf")) { // an installed one, called by its own name
		which = name
	}
	f := &Face{name: name, digest: sha256.Sum256(data)}
	if which != "" {
		f.digest = sha256.Sum256(append(f.digest[:], which...))
	}
	if len(data) > 4 && string(data[:4]) == "wOF2" {
		return nil, fault.New("font-unreadable", file, "this is a WOFF2 file, packed for web pages, which is not read: ask for the same face as TTF or OTF, or unpack it to one with a font tool")
	}
	if err := f.open(data, which); err != nil {
		return nil, fault.New("font-unreadable", file, "this is no font file that can be read (%v): give a TTF, OTF or WOFF file with outlines", err)
	}
	return f, nil
}

// guarded calls f and turns a panic of the font library, which damaged files set
// off, into an error: a file that a customer sends must never stop the program.
func guarded(f func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("it is damaged")
		}
	}()
	return f()
}

// drawer gives what draws the letters; it serves one at a time.
func (f *Face) drawer() *font.Face {
	face := font.NewFace(f.font)
	face.SetVariations(f.vary)
	return face
}

func (f *Face) open(data []byte, which string) error {
	if err := checkWOFF(data); err != nil {
		return err
	}
	return guarded(func() error {
		loaders, err := opentype.NewLoaders(bytes.NewReader(data))
		if err != nil {
			return err
		}
		if len(loaders) == 0 {
			return fmt.Errorf("it is empty")
		}
		s, err := pick(loaders, which)
		if err != nil {
			return err
		}
		if f.font, err = font.NewFont(s.loader); err != nil {
			return err
		}
		f.vary = s.vary
		if f.font.Upem() == 0 {
			return fmt.Errorf("it has no em")
		}
		return f.measure()
	})
}

// checkWOFF refuses a compressed file whose tables claim more room than a font
// has (WOFF File Format 1.0, W3C 2012, §3 and §4: a header of 44 bytes, then 20
// for each table, its length at 12).
func checkWOFF(data []byte) error {
	if len(data) < 44 || string(data[:4]) != "wOFF" {
		return nil
	}
	n := int(binary.BigEndian.Uint16(data[12:]))
	if n > mostTables || len(data) < 44+20*n {
		return fmt.Errorf("it is damaged")
	}
	sum := 0
	for i := range n {
		sum += int(binary.BigEndian.Uint32(data[44+20*i+12:]))
	}
	if sum > mostFontBytes {
		return fmt.Errorf("it unpacks to more than %d MB", mostFontBytes>>20)
	}
	return nil
}

// measure finds the height of a capital: that of the letter H, else what the file
// says, else what is usual.
func (f *Face) measure() error {
	face := f.drawer()
	em := float64(f.font.Upem())
	f.capital = float64(face.LineMetric(font.CapHeight)) / em
	if id, ok := face.NominalGlyph('H'); ok {
		rings, err := outlineOf(face, id, usualCapital/1000)
		if err != nil {
			return err
		}
		if b := boundsOf(rings); -b.MinY > 0 {
			f.capital = -b.MinY
		}
	}
	if !(f.capital > 0.05 && f.capital < 5) || math.IsNaN(f.capital) {
		f.capital = usualCapital
	}
	return nil
}

func boundsOf[T ~[]geom.Point](lists []T) geom.Box {
	b := geom.EmptyBox()
	for _, l := range lists {
		b = b.Join(geom.Bounds(l))
	}
	return b
}
