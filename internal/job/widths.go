package job

import (
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
	"brushfall/internal/unit"
)

// maxWidths bounds a size run: garments come in about a dozen sizes.
const maxWidths = 24

// sameWidth is how near two widths may be, in mm, before they are one: what a
// length prints as.
const sameWidth = 0.01

// NamedWidth is one width of a size run. Name is the length in the unit it was
// written in, "7in" or "240mm": the name of its folder.
type NamedWidth struct {
	Name  string
	Width unit.Length
}

// ParseWidth reads one width of a size run. Faults are those of a length.
func ParseWidth(text string) (NamedWidth, error) {
	l, err := unit.ParseLength(text)
	if err != nil {
		return NamedWidth{}, err
	}
	name := l.Format(unit.Inches)
	switch lower := strings.ToLower(text); {
	case strings.Contains(lower, "mm") || strings.Contains(lower, "mil"):
		name = l.Format(unit.Millimetre)
	case strings.Contains(lower, "cm") || strings.Contains(lower, "cen"):
		name = strconv.FormatFloat(math.Round(l.MM()*100)/1000, 'f', -1, 64) + "cm"
	}
	return NamedWidth{Name: strings.ReplaceAll(name, " ", ""), Width: l}, nil
}

// ParseWidths reads widths with commas between them: "7in, 9in, 11in". Faults are
// those of a length, and "widths" for one that stands twice or too many.
func ParseWidths(text string) ([]NamedWidth, error) {
	var out []NamedWidth
	for part := range strings.SplitSeq(text, ",") {
		w, err := ParseWidth(part)
		if err != nil {
			return nil, err
		}
		if out, err = addWidth(out, w); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func addWidth(list []NamedWidth, w NamedWidth) ([]NamedWidth, error) {
	for _, v := range list {
		if v.Name == w.Name || math.Abs((v.Width-w.Width).MM()) < sameWidth {
			return nil, fault.New("widths", "", "%s and %s are one width; keep one of them", v.Name, w.Name)
		}
	}
	if len(list) == maxWidths {
		return nil, fault.New("widths", "", "there are more than %d widths; make them in several runs", maxWidths)
	}
	return append(list, w), nil
}

// widths reads the list of widths of a job file.
func (s source) widths(n ast.Node) ([]NamedWidth, error) {
	var out []NamedWidth
	for _, node := range items(n) {
		w, err := read(s, node, "a width", ParseWidth)
		if err != nil {
			return nil, err
		}
		if out, err = addWidth(out, w); err != nil {
			return nil, s.within(node, err)
		}
	}
	if len(out) == 0 {
		return nil, s.fail(n, "widths", "the list of widths is empty; write widths: [7 in, 9 in, 11 in], or width: 9 in for one")
	}
	return out, nil
}
