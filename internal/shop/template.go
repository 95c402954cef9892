package shop

import (
	"cmp"
	"crypto/sha256"
	"slices"
	"strings"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/code"
	"brushfall/internal/fault"
)

// NotPutAway is the place of templates that were entered when transfers were made, until
// someone says where they are.
const NotPutAway = "not put away yet"

// NewTemplate is a set of templates, all plates of a design, that was cut. Print
// is the sum of its holes and frames; Mark what its frames and its ticket call it,
// which two sets of one design share; Digest the SHA-256 of its layout.json, in hex.
// Lengths are mm: Width and Height of the design, FrameWidth and FrameHeight of the
// frames. Customer is whose design it is, by number, 0 for nobody's. Lasts is how
// many transfers it is expected to be good for, 0: catalogue.TemplateLasts.
type NewTemplate struct {
	Print                   [sha256.Size]byte
	Mark                    string
	Digest                  string
	Design                  string
	Width, Height           float64
	FrameWidth, FrameHeight float64
	Plates                  int
	Kinds                   []Stones
	Customer                int64
	Place                   string
	Note                    string
	Lasts                   int
	Picture                 []byte // PNG or JPEG; nil: none
	Files                   []TemplateFile
}

// TemplateFile is a file that a template can be cut again from, as it was.
type TemplateFile struct {
	Name string
	Data []byte
}

// Condition says whether a template can be brushed with.
type Condition string

// The conditions.
const (
	Good Condition = "good"
	Worn Condition = "worn" // can be, but stones fall short or stick
	Gone Condition = "gone" // thrown away, lost, given away
)

// TemplateSet is a set of templates as the book has it. Stones are those of one
// transfer. Customer is the name, empty for nobody's or where it was erased. Uses
// are the transfers that were brushed with it, Last when it was last, zero: never.
type TemplateSet struct {
	ID                      int64
	Code, Mark              string
	Digest                  string
	Design                  string
	Width, Height           float64
	FrameWidth, FrameHeight float64
	Plates, Stones          int
	Kinds                   []Stones // the largest first
	CustomerID              int64
	Customer                string
	Place                   string
	Note                    string
	Condition               Condition
	Uses, Lasts             int
	Made, Last              time.Time
}

// Worked gives the share of its expected transfers that a template has made; 1
// and more asks for a look at it.
func (t TemplateSet) Worked() float64 { return float64(t.Uses) / float64(max(1, t.Lasts)) }

// TemplateCode gives the code of a set by its print; tries after the first are for
// a book that has the code already.
func TemplateCode(print [sha256.Size]byte, try int) string { return code.From(print, try) }

// TemplateWhat says what happened to a template.
type TemplateWhat string

// What can happen. Every history begins with TemplateCut.
const (
	TemplateCut     TemplateWhat = "cut"     // and put at a place
	TemplateBrushed TemplateWhat = "brushed" // so many transfers
	TemplateMoved   TemplateWhat = "moved"   // to another place
	TemplateWorn    TemplateWhat = "worn"
	TemplateGood    TemplateWhat = "good" // looked at and found good, or found again
	TemplateGone    TemplateWhat = "gone"
)

// TemplateEvent is one line of a template's history. Times are the transfers brushed;
// Place is where it was put, empty where it stayed.
type TemplateEvent struct {
	At    time.Time
	What  TemplateWhat
	Times int
	Place string
	Note  string
}

// Bounds of templates: far more than any shop has.
const (
	mostTemplateLasts = 1_000_000
	mostTemplateUses  = 100_000
	mostTemplateFiles = 1000
	mostTemplateBytes = 256 << 20
	mostPictureBytes  = 4 << 20
)

// Check gives the template with its texts made regular and its kinds in order, the
// largest first. Faults: "template" for what cannot be one, "template-lasts", "text".
func (n NewTemplate) Check() (NewTemplate, error) {
	var err error
	if n.Design, err = cleanText("the design's name", n.Design); err != nil {
		return n, err
	}
	if n.Mark, err = cleanText("the frame's code", n.Mark); err != nil {
		return n, err
	}
	if n.Place, err = cleanPlace(n.Place); err != nil {
		return n, err
	}
	if n.Note, err = cleanText("the note", n.Note); err != nil {
		return n, err
	}
	n.Mark = strings.ToUpper(n.Mark)
	if n.Lasts == 0 {
		n.Lasts = catalogue.TemplateLasts
	}
	if n.Lasts < 1 || n.Lasts > mostTemplateLasts {
		return n, fault.New("template-lasts", "", "a template cannot last for %d transfers; give 1 to %d", n.Lasts, mostTemplateLasts)
	}
	n.Kinds = slices.Clone(n.Kinds)
	slices.SortFunc(n.Kinds, LargestFirst)
	for i, k := range n.Kinds {
		twice := i > 0 && n.Kinds[i-1].Kind == k.Kind
		if k.Pieces < 1 || k.Take < k.Pieces || k.Take > MostPieces || twice {
			return n, fault.New("template", k.Kind.String(), "%d stones, %d with spare ones, cannot be; make the design again", k.Pieces, k.Take)
		}
	}
	return n, n.measured()
}

// measured looks at what comes from the layout and its folder.
func (n NewTemplate) measured() error {
	for _, v := range []float64{n.Width, n.Height, n.FrameWidth, n.FrameHeight} {
		if !(v > 0 && v < 1e6) {
			return fault.New("template", n.Design, "a side of %g mm cannot be; make the design again", v)
		}
	}
	size := 0
	for _, f := range n.Files {
		size += len(f.Data)
	}
	switch {
	case n.Design == "" || n.Plates < 1 || len(n.Kinds) == 0:
		return fault.New("template", n.Design, "there is no plate with stones in it; make the design again")
	case len(n.Files) > mostTemplateFiles || size > mostTemplateBytes:
		return fault.New("template", n.Design, "%d files of %d MB are more than the book takes for one template", len(n.Files), size>>20)
	case len(n.Picture) > mostPictureBytes:
		return fault.New("template", n.Design, "a picture of %d MB is more than the book takes for one template", len(n.Picture)>>20)
	}
	return nil
}

// Check gives the event with its texts made regular. Faults: "template-uses", "text".
func (e TemplateEvent) Check() (TemplateEvent, error) {
	if (e.What == TemplateBrushed) != (e.Times != 0) || e.Times < 0 || e.Times > mostTemplateUses {
		return e, fault.New("template-uses", "", "%d transfers cannot be; give 1 to %d", e.Times, mostTemplateUses)
	}
	var err error
	if e.Place != "" || e.What == TemplateMoved {
		if e.Place, err = cleanPlace(e.Place); err != nil {
			return e, err
		}
	}
	e.Note, err = cleanText("the note", e.Note)
	return e, err
}

// Apply says whether an event can happen to a template in that condition. Fault
// "template-gone".
func (e TemplateEvent) Apply(t TemplateSet) error {
	if t.Condition == Gone && e.What != TemplateGood {
		return fault.New("template-gone", t.Code, "%s is gone by the book; if it turned up, say so first: brushfall template good %s", t.Design, t.Code).
			OnPage("%s is gone by the book; if it turned up, set its condition to good first", t.Design)
	}
	return nil
}

// ParseTemplateCode reads a code as someone types it. Fault "template-code".
func ParseTemplateCode(typed string) (string, error) { return code.Parse(typed) }

// TemplateMark gives what a frame says without the number of the plate: "Heron 1/2"
// is HERON.
func TemplateMark(text string) string {
	words := strings.Fields(strings.ToUpper(text))
	if n := len(words); n > 1 && strings.Contains(words[n-1], "/") {
		words = words[:n-1]
	}
	return strings.Join(words, " ")
}

// NearCode says whether a typed code is another with one sign wrong, or with two
// neighbours swapped.
func NearCode(typed, code string) bool {
	a := []rune(strings.ReplaceAll(strings.ReplaceAll(TemplateMark(typed), "-", ""), " ", ""))
	b := []rune(strings.ReplaceAll(code, "-", ""))
	if len(a) != len(b) {
		return false
	}
	var wrong []int
	for i := range a {
		if a[i] != b[i] {
			wrong = append(wrong, i)
		}
	}
	if len(wrong) == 2 {
		i, j := wrong[0], wrong[1]
		return j == i+1 && a[i] == b[j] && a[j] == b[i]
	}
	return len(wrong) == 1
}

// LargestFirst orders stones as they are brushed and counted: the largest first, then
// by colour.
func LargestFirst(a, b Stones) int {
	if a.Kind.Size == b.Kind.Size {
		return cmp.Compare(a.Kind.Colour, b.Kind.Colour)
	}
	return cmp.Or(CompareKinds(Kind{Size: b.Kind.Size}, Kind{Size: a.Kind.Size}), cmp.Compare(a.Kind.Colour, b.Kind.Colour))
}
