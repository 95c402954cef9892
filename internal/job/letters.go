package job

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/lettering"
)

// drawn is the artwork with its lettering.
type drawn struct {
	artwork.Drawing
	letters []lettering.Set
	placed  []PlacedDrawing
}

// composed reads the artwork, brings it to size and sets the lettering beside it.
func (j Job) composed() (drawn, error) {
	var d artwork.Drawing
	var placed []PlacedDrawing
	sheet := lettering.Sheet{Pieces: j.Lettering, Faces: j.Faces, Width: j.Width.MM(), Height: j.Height.MM()}
	if j.hasArtwork() {
		var err error
		if d, placed, err = j.assembled(); err != nil || len(d.Regions) == 0 {
			return drawn{Drawing: d}, err
		}
	}
	if len(j.Lettering) == 0 {
		return drawn{Drawing: d, placed: placed}, nil
	}
	out, sets, err := lettering.Compose(d, sheet)
	return drawn{out, sets, placed}, err
}

// FacesWanted lists the faces that the lettering names and that are not shipped, each
// once, in the order of the pieces: font files by their path, others by their name.
// The caller reads them into Faces under these names.
func (j Job) FacesWanted() []string {
	var out []string
	for _, p := range j.Lettering {
		name := strings.TrimSpace(p.Face)
		if name != "" && lettering.FindShipped(name) == nil && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// lettersDigest tells jobs apart by their lettering.
func (j Job) lettersDigest() [sha256.Size]byte {
	h := sha256.New()
	for _, p := range j.Lettering {
		fmt.Fprintf(h, "%+v\n", p)
	}
	for _, f := range j.Faces {
		fmt.Fprintf(h, "%s %x\n", f.Name(), f.Digest())
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// subject is what faults about the whole are put to: the artwork, or the design.
func (j Job) subject() string {
	if files := j.ArtworkFiles(); len(files) == 1 {
		return files[0]
	}
	return j.Design
}

// nameOfItsOwn names a design that the job file does not: after its artwork, or its
// words.
func (j Job) nameOfItsOwn() string {
	if len(j.Drawings) > 0 {
		return nameFrom(j.Drawings[0].File)
	}
	if j.ArtworkName != "" || len(j.Lettering) == 0 {
		return nameFrom(j.ArtworkName)
	}
	name := strings.Join(strings.Fields(j.Lettering[0].Text), " ")
	for utf8.RuneCountInString(name) > longestName {
		name = string([]rune(name)[:longestName])
	}
	if CheckName(name) != nil {
		return "lettering"
	}
	return name
}
