package job

import (
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/fault"
	"brushfall/internal/unit"
)

// maxPieces bounds the pieces of lettering of a job.
const maxPieces = 100

// readLettering reads one piece of lettering, or a list of them.
func readLettering(s source, n ast.Node, j *Job) error {
	nodes := items(n)
	if len(nodes) == 0 || len(nodes) > maxPieces {
		return s.fail(n, "job-value", "lettering takes from one piece to %d; write lettering: {text: Herons, height: 2 in}", maxPieces)
	}
	for _, node := range nodes {
		p := lettering.DefaultPiece("")
		if err := fill(s, node, "lettering", &p, pieceFields()); err != nil {
			return err
		}
		if err := p.Check(); err != nil {
			return s.within(node, err)
		}
		j.Lettering = append(j.Lettering, p)
	}
	named, err := lettering.Identified(j.Lettering)
	if err != nil {
		return s.within(n, err)
	}
	j.Lettering = named
	return nil
}

func pieceFields() []field[lettering.Piece] {
	type piece = lettering.Piece
	return []field[piece]{
		set("text", parseText, func(p *piece) *string { return &p.Text }),
		set("id", parseWord, func(p *piece) *string { return &p.ID }),
		set("face", parseWord, func(p *piece) *string { return &p.Face }),
		set("height", parseSize, func(p *piece) *lettering.Measure { return &p.Height }),
		set("width", parseSize, func(p *piece) *lettering.Measure { return &p.Width }),
		{"fit", readFit},
		set("align", parseAlign, func(p *piece) *lettering.Align { return &p.Align }),
		set("leading", parseLeading, func(p *piece) *float64 { return &p.Leading }),
		set("spacing", parseSpacing, func(p *piece) *lettering.Measure { return &p.Spacing }),
		set("slant", parseSlant, func(p *piece) *float64 { return &p.Slant }),
		{"arc", readArc},
		{"circle", readCircle},
		{"path", readPath},
		{"outline", readOutline},
		set("monogram", parseYes, func(p *piece) *bool { return &p.Monogram }),
		set("clear", parseApart, func(p *piece) *float64 { return &p.Clear }),
		{"at", readPlace},
	}
}

func parseText(text string) (string, error) {
	if strings.TrimSpace(text) == "" {
		return "", fault.New("lettering-empty", "", "the text is empty: write the word to set, or leave the piece out")
	}
	return text, nil
}

// share reads a percentage.
func share(text string) (float64, bool) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return v / 100, percent && err == nil && math.Abs(v) <= 10_000
}

// parseSize reads a length, or a share of what the size is compared with: "60%".
func parseSize(text string) (lettering.Measure, error) {
	if v, ok := share(text); ok {
		if v <= 0 {
			return lettering.Measure{}, fault.New("lettering-size", "", "%q is no size: it must be more than 0", text)
		}
		return lettering.Measure{Share: v}, nil
	}
	l, err := unit.ParseLength(text)
	return lettering.Measure{MM: l.MM()}, err
}

// parseSpacing reads a length or a share of the height of a capital, either of which
// may be below 0: "5%", "-0.3 mm".
func parseSpacing(text string) (lettering.Measure, error) {
	if v, ok := share(text); ok {
		return lettering.Measure{Share: v}, nil
	}
	mm, err := parseSigned(text)
	return lettering.Measure{MM: mm}, err
}

// parseSigned reads a length that may have a minus before it, in mm.
func parseSigned(text string) (float64, error) {
	rest, negative := strings.CutPrefix(strings.TrimSpace(text), "-")
	l, err := unit.ParseClearance(rest)
	if negative {
		return -l.MM(), err
	}
	return l.MM(), err
}

// parseApart reads a clear distance in mm.
func parseApart(text string) (float64, error) {
	l, err := unit.ParseClearance(text)
	if err == nil && l > mostClearance {
		err = fault.New("length-range", "", "%s is too far; at most %s", l, mostClearance)
	}
	return l.MM(), err
}

// parseSlant reads how far letters lean forward.
func parseSlant(text string) (float64, error) {
	v, err := parseAngle(text)
	if err != nil {
		err = fault.New("lettering", "", "%q is no slant; write how far the letters lean forward in degrees, such as 12 deg", text)
	}
	return v, err
}

func parseLeading(text string) (float64, error) {
	if v, ok := share(text); ok && v >= 0.5 && v <= 10 {
		return v, nil
	}
	return 0, fault.New("lettering", "", "%q is no distance of lines; write a share of the height of a capital, such as 160%%", text)
}

func parseAlign(text string) (lettering.Align, error) {
	return choose("alignment", text, []lettering.Align{lettering.Left, lettering.Centre, lettering.Right})
}

func parseSide(text string) (lettering.Side, error) {
	return choose("side", text, []lettering.Side{lettering.Above, lettering.Below, lettering.LeftOf, lettering.RightO, lettering.Middle})
}

func parseRise(text string) (lettering.Side, error) {
	return choose("way of an arc", text, []lettering.Side{lettering.Above, lettering.Below})
}
