package lettering

import (
	"math"
	"strings"
	"unicode/utf8"

	"brushfall/internal/fault"
)

// Measure is a length in mm, or a share of something; at most one of the two is set.
type Measure struct{ MM, Share float64 }

// Set says whether the measure was given.
func (m Measure) Set() bool { return m != Measure{} }

// Of gives the measure in mm, its share taken of whole.
func (m Measure) Of(whole float64) float64 { return m.MM + m.Share*whole }

// Align says how the lines of a piece stand to each other.
type Align string

// The alignments.
const (
	Left   Align = "left"
	Centre Align = "centre"
	Right  Align = "right"
)

// Side says where a piece stands to what was set before it.
type Side string

// The sides.
const (
	Above  Side = "above"
	Below  Side = "below"
	LeftOf Side = "left"
	RightO Side = "right"
	Middle Side = "centre"
)

// Place anchors a piece. The zero Place is below all that was set before, in the
// middle, a third of a capital away.
type Place struct {
	Side        Side
	Of          string  // "artwork", the id of an earlier piece, or empty: all before it
	Gap         Measure // clear distance, a share being of the height of a capital; not for Middle
	Right, Down float64 // moves it on, mm
}

// Curve bends the base line. At most one of Bend and Radius is set for an arc; a
// full circle takes a radius or none; a path takes the region of the artwork whose id,
// element or group is Path.
type Curve struct {
	Arc    Side    // Above or Below: an arc that rises, or one that sags; empty for none
	Bend   float64 // the angle that an arc spans, radians
	Radius float64 // of the base line, mm
	Circle bool    // letters spread all round a circle
	Sag    bool    // round a circle: their heads to its centre
	Path   string
	From   float64 // where on the path: the share of its length that Align stands at
	Turn   bool    // the other way along the path, on its other side
	Lift   Measure // clear distance from the path, a share being of the height of a capital
}

func (c Curve) bends() bool { return c.Arc != "" || c.Circle || c.Path != "" }

// Outline asks for a band round the letters, Gap clear of them, both mm.
type Outline struct{ Width, Gap float64 }

// Piece is one piece of lettering. Exactly one way of size may be set: Height of a
// capital, Width of all, or both as a box to fit when Fit. A share is of the artwork's
// height or width, or, where there is no artwork, of the other pieces.
type Piece struct {
	ID       string
	Text     string // lines parted by \n
	Face     string // the name that a face goes by; empty: the first that is shipped
	Height   Measure
	Width    Measure
	Fit      bool
	Align    Align
	Leading  float64 // from base line to base line, in heights of a capital
	Spacing  Measure // between letters, a share being of the height of a capital
	Slant    float64 // radians, forward
	Curve    Curve
	Outline  Outline
	Monogram bool    // three letters, the middle one large
	Clear    float64 // artwork under the letters is cut away this far, mm
	At       Place
}

// What a piece is unless it says otherwise. Leading and the gaps are chosen by eye:
// lines of names set at 1.6 capitals have room for the tails of one and the accents
// of the next; an outline 1 mm clear keeps its stones off those of the letters.
const (
	DefaultLeading = 1.6
	DefaultGap     = 0.3
	DefaultClear   = 1.0
	DefaultRing    = 1.0
	DefaultLift    = 0.15
)

// DefaultPiece gives a piece with nothing said but its text.
func DefaultPiece(text string) Piece {
	return Piece{
		Text: text, Align: Centre, Leading: DefaultLeading, Clear: DefaultClear,
		Curve: Curve{From: 0.5, Lift: Measure{Share: DefaultLift}},
		At:    Place{Side: Below, Gap: Measure{Share: DefaultGap}},
	}
}

// mostLetters bounds the text of a piece.
const mostLetters = 400

// Lines gives the lines of the text, without blanks round them.
func (p Piece) Lines() []string {
	var out []string
	for line := range strings.SplitSeq(strings.ReplaceAll(p.Text, "\r\n", "\n"), "\n") {
		out = append(out, strings.TrimSpace(line))
	}
	return out
}

// Check refuses a piece that contradicts itself. Fault "lettering".
func (p Piece) Check() error {
	bad := func(format string, args ...any) error {
		return fault.New("lettering", "lettering "+p.ID, format, args...)
	}
	curves := 0
	for _, set := range []bool{p.Curve.Arc != "", p.Curve.Circle, p.Curve.Path != ""} {
		if set {
			curves++
		}
	}
	letters := []rune(strings.TrimSpace(p.Text))
	switch {
	case len(letters) == 0:
		return fault.New("lettering-empty", "lettering "+p.ID, "there is no text: write text: and the word to set, or leave the piece out")
	case !utf8.ValidString(p.Text) || len(letters) > mostLetters:
		return bad("the text has more than %d characters, or is not plain text", mostLetters)
	case p.Height.Set() && p.Width.Set() && !p.Fit:
		return bad("height and width are both given; keep one, or write fit: {width: …, height: …} for a box to fit into")
	case curves > 1:
		return bad("of arc, circle and path only one can be")
	case curves > 0 && p.Monogram:
		return bad("a monogram stands on a straight line: leave arc, circle and path out")
	case p.Curve.Bend != 0 && p.Curve.Radius != 0:
		return bad("an arc takes bend or radius, not both")
	case math.Abs(p.Slant) > math.Pi/3:
		return bad("a slant of more than 60 degrees cannot be read")
	}
	return nil
}
