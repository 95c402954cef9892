// Package job holds the job: what the owner asks for, read from a job file or
// made from a few flags, and Run, the one function that takes it through the
// pipeline. docs/formats/job.md is the page for the people who write job files.
package job

import (
	"cmp"
	"path"
	"strings"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fit"
	"brushfall/internal/layout"
	"brushfall/internal/price"
	"brushfall/internal/sheet"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// StoneWish is the stone asked for: a size and a colour of the catalogue.
type StoneWish struct {
	Size   catalogue.Size
	Colour catalogue.Colour
}

// Gap is the clear distance asked for between two stones. The zero Gap is
// "auto": the tightest that one plate can hold, fit + web.
type Gap struct {
	Fixed bool
	Clear unit.Length // used when Fixed
}

// Of gives the gap in mm for stones of a size on plates with the given web.
func (g Gap) Of(size catalogue.Size, web unit.Length) float64 {
	if g.Fixed {
		return g.Clear.MM()
	}
	return size.Gap(web.MM())
}

// Setting says how a region is set. Treatment nil is "auto": chosen by the
// local stroke width.
type Setting struct {
	Treatment []design.Treatment
	Bed       design.BedStyle
	BedAs     BedWish
	Stone     StoneWish
	Gap       Gap
	Margin    unit.Length   // clear distance between stones and outline
	Skip      bool          // leave the region without stones
	Colours   []layout.Coat // patterns of colours; none: the stone's for all
	Accents   *AccentWish   // nil: none
	Fill      []StoneWish   // for the gaps of a bed, each smaller than the one before
}

// AccentWish asks for stones of another kind in the rows.
type AccentWish struct {
	Stone   StoneWish
	Every   int  // as layout.Accents has it
	Corners bool // one on every corner and end
}

// Rule gives the regions that its match picks their own setting. What the job
// file leaves out of a rule is already filled in from the job. Line is the
// rule's line in the job file.
type Rule struct {
	Match Match
	Setting
	Line int
}

// Plates says how stones are shared out over plates.
type Plates string

// The ways of sharing out.
const (
	Fewest   Plates = "fewest" // as few brush-in steps as the rules allow
	Coloured Plates = "colour" // one colour on each plate
)

// Sheet is the piece of flock that plates are placed on; Margin stays free on
// each side, Spacing (0: sheet.DefaultSpacing) between two frames, unless they are Common: then they may lie
// side against side, and one cut parts both. Upright: no plate is turned. Roll:
// Width is that of a roll, Height the longest piece cut from it.
type Sheet struct {
	Width, Height         unit.Length
	Margin, Spacing       unit.Length
	Common, Upright, Roll bool
}

// options gives the sheet as the nesting is told.
func (t Sheet) options() sheet.Options {
	return sheet.Options{
		Width: t.Width.MM(), Height: t.Height.MM(), Margin: t.Margin.MM(), Spacing: cmp.Or(t.Spacing.MM(), sheet.DefaultSpacing),
		Turn: !t.Upright, Touch: t.Common, Roll: t.Roll,
	}
}

// longestPiece is the longest piece cut from a roll unless the job says otherwise:
// what HP-GL's numbers can hold, with some to spare.
const longestPiece unit.Length = 800

// Paper is the paper the ticket is printed on.
type Paper string

// The papers.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// Job is everything the pipeline needs to know. The embedded Setting is for
// the regions that no rule picks. Of Width and Height one is given and the
// other 0: it follows from the artwork; or neither, and Widths for RunSizes.
// Artwork holds the bytes of the file named ArtworkName, which the caller reads; a
// design of lettering alone has neither. Faces are those of the font files that the
// pieces of Lettering name, which the caller reads too: FacesWanted lists them. With
// artwork, Width and Height are the artwork's, and lettering comes on top.
type Job struct {
	Design        string
	ArtworkName   string
	Artwork       []byte
	Drawings      []Part // instead of the artwork: several, each in its place
	Width, Height unit.Length
	Widths        []NamedWidth // of a size run
	Lettering     []lettering.Piece
	Faces         []*lettering.Face
	Setting
	Regions []Rule     // first match wins
	Hand    []HandEdit // in their order
	Plates  Plates
	Web     unit.Length // least flock between two holes of one plate
	Border  unit.Length // least flock between a hole and the frame
	Frame   Frame
	// TapeStep is how much higher than a stone to be lifted one already on the
	// tape may stand.
	TapeStep unit.Length
	Mirror   bool // the cut files mirrored, for flock that is cut from its back
	Sheet    Sheet
	Places   []Place // of the plates on the sheets, where a person laid them; empty: as few sheets as can be
	Cutter   Cutter
	Garment  string // "#rrggbb", the cloth in the pictures
	Effort   layout.Effort
	Paper    Paper
	Language wording.Language // of the papers
	Press    ticket.Material  // what it is pressed onto; ticket.Any when not decided yet
	// Flock names whose fits are used, with the cutter's name; none: those that Fits
	// means without. Fits are the shop's own, which the caller reads.
	Flock string
	Fits  fit.Book
	// Stones are the sizes and colours that the job was read with: the built-in ones, and
	// those of the shop's book.
	Stones catalogue.Stones
	// Works are how long the shop's own works take, in seconds, by the names of package
	// price, with where that comes from; the ticket has the usual times of what is not
	// in it. The caller reads them.
	Works map[string]price.Value
}

// Default gives the job for an artwork file when nothing else is said: SS10
// crystal stones, treatments chosen by stroke width, the tightest gap, flock of
// 12 × 20 in. Neither width nor height is set yet.
func Default(artworkName string) Job {
	return Job{
		Design:      nameFrom(artworkName),
		ArtworkName: artworkName,
		Setting:     Setting{Bed: design.Comb, Stone: defaultStone()},
		Plates:      Fewest,
		Web:         catalogue.Web,
		Border:      catalogue.Border,
		TapeStep:    catalogue.TapeStep,
		Sheet:       Sheet{Width: catalogue.FlockWidth, Height: catalogue.FlockHeight, Margin: sheet.DefaultMargin, Spacing: sheet.DefaultSpacing},
		Cutter:      defaultCutter(),
		Garment:     "#1b1d22",
		Effort:      layout.Final,
		Paper:       A4,
		Language:    wording.English,
		Press:       ticket.Any,
	}
}

// defaultStone is looked up in the embedded catalogue, whose tests hold that
// both rows are there.
func defaultStone() StoneWish {
	size, _ := catalogue.FindSize("SS10")
	colour, _ := catalogue.FindColour("crystal")
	return StoneWish{Size: size, Colour: colour}
}

// nameFrom makes a design's name from its artwork's file name: "art/heron-badge.svg"
// is "heron badge".
func nameFrom(artworkName string) string {
	base := path.Base(strings.ReplaceAll(artworkName, `\`, "/"))
	base = strings.TrimSuffix(base, path.Ext(base))
	name := strings.TrimSpace(strings.NewReplacer("-", " ", "_", " ").Replace(base))
	if name == "" || name == "." || name == "/" {
		return "design"
	}
	if CheckName(name) != nil {
		return "design"
	}
	return name
}
