package job

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"golang.org/x/image/colornames"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
)

// Bounds of the lengths in a job, in mm. Web: less than 0.2 tears whatever the
// flock, more than 5 is a slip. Border: the notch and the nicks are cut into it.
// Clearance: gaps and margins beyond it leave single stones.
const (
	leastWeb, mostWeb       unit.Length = 0.2, 5
	leastBorder, mostBorder unit.Length = 4, 100
	mostClearance           unit.Length = 50
	longestName                         = 80
)

// automatic is the word for "choose for me"; a Setting holds it as no treatment.
const automatic design.Treatment = "auto"

// CheckName refuses a design's name that does not print on one line of a ticket:
// blank, longer than 80 characters, or with control characters. Fault "name".
func CheckName(name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return fault.New("name", "", "the design's name is blank")
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		return fault.New("name", "", "the design's name has characters that cannot be printed")
	case utf8.RuneCountInString(name) > longestName:
		return fault.New("name", "", "the design's name is longer than %d characters", longestName)
	}
	return nil
}

var hexForm = regexp.MustCompile(`^#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})$`)

// ParsePaint reads a colour of the artwork or of a garment: "#1f4e79", "#fff",
// or a colour name of CSS ("navy"). The result is "#rrggbb" in lower case. Fault
// "paint" for anything else.
func ParsePaint(text string) (string, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	if c, ok := colornames.Map[s]; ok {
		const digits = "0123456789abcdef"
		out := []byte{'#'}
		for _, v := range []uint8{c.R, c.G, c.B} {
			out = append(out, digits[v>>4], digits[v&15])
		}
		return string(out), nil
	}
	if !hexForm.MatchString(s) {
		return "", fault.New("paint", "", "%q is not a colour; write it as \"#1f4e79\" in quotes, or as a name such as navy", text)
	}
	if len(s) == 4 {
		s = string([]byte{'#', s[1], s[1], s[2], s[2], s[3], s[3]})
	}
	return s, nil
}

// ParseGap reads "auto" or a clear distance. Its faults are those of a length,
// and "gap-range".
func ParseGap(text string) (Gap, error) {
	if strings.EqualFold(strings.TrimSpace(text), "auto") {
		return Gap{}, nil
	}
	l, err := unit.ParseClearance(text)
	if err != nil {
		return Gap{}, err
	}
	if l > mostClearance {
		return Gap{}, fault.New("gap-range", "", "a gap of %s is too wide; at most %s", l, mostClearance)
	}
	return Gap{Fixed: true, Clear: l}, nil
}

// ParseEffort reads "live" or "final". Fault "choice".
func ParseEffort(text string) (layout.Effort, error) {
	word, err := choose("effort", text, []string{"live", "final"})
	if word == "live" {
		return layout.Live, err
	}
	return layout.Final, err
}

// ParsePaper reads "a4" or "letter". Fault "choice".
func ParsePaper(text string) (Paper, error) { return choose("paper", text, []Paper{A4, Letter}) }

// ParseStone looks a size and a colour up among the stones there are; an empty one
// keeps that of base. Faults are the catalogue's.
func ParseStone(stones catalogue.Stones, base StoneWish, size, colour string) (StoneWish, error) {
	if size != "" {
		s, err := stones.FindSize(size)
		if err != nil {
			return base, err
		}
		base.Size = s
	}
	if colour != "" {
		c, err := stones.FindColour(colour)
		if err != nil {
			return base, err
		}
		base.Colour = c
	}
	return base, nil
}

// choose gives the word of a short list that the text is, in any case.
func choose[T ~string](what, text string, allowed []T) (T, error) {
	var words []string
	for _, a := range allowed {
		if strings.EqualFold(strings.TrimSpace(text), string(a)) {
			return a, nil
		}
		words = append(words, string(a))
	}
	return allowed[0], fault.New("choice", "", "there is no %s %q; choose %s", what, text, either(words))
}

// either joins words as "a, b or c".
func either(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// read takes a scalar through one of the parsers above and puts the place into
// its fault.
func read[T any](s source, n ast.Node, what string, parse func(string) (T, error)) (T, error) {
	text, err := s.text(n, what)
	if err != nil {
		var none T
		return none, err
	}
	v, err := parse(text)
	if err != nil {
		return v, s.within(n, err)
	}
	return v, nil
}

// between reads a length inside bounds; code "length-range" outside them.
func (s source) between(n ast.Node, what string, least, most unit.Length) (unit.Length, error) {
	l, err := read(s, n, what, unit.ParseClearance)
	if err != nil {
		return 0, err
	}
	if l < least || l > most {
		return 0, s.fail(n, "length-range", "%s is %s; it must be from %s to %s", what, l, least, most)
	}
	return l, nil
}

// treatments reads auto, one treatment or a list of them, each once.
func (s source) treatments(n ast.Node) ([]design.Treatment, error) {
	var out []design.Treatment
	nodes := items(n)
	if len(nodes) == 0 {
		return nil, s.fail(n, "choice", "the list of treatments is empty; choose rim, spine, bed or auto, or write skip: true")
	}
	for _, node := range nodes {
		word, err := read(s, node, "treatment", parseTreatment)
		if err != nil {
			return nil, err
		}
		if word == automatic {
			if len(nodes) > 1 {
				return nil, s.fail(node, "choice", "auto stands alone; leave it out or leave the others out")
			}
			return nil, nil
		}
		if slices.Contains(out, word) {
			return nil, s.fail(node, "choice", "treatment %q stands twice", word)
		}
		out = append(out, word)
	}
	return out, nil
}

func parseTreatment(text string) (design.Treatment, error) {
	return choose("treatment", text, []design.Treatment{design.Rim, design.Spine, design.Bed, automatic})
}

func parseName(text string) (string, error) { return strings.TrimSpace(text), CheckName(text) }

func parseFile(text string) (string, error) {
	if strings.TrimSpace(text) == "" {
		return "", fault.New("artwork-missing", "", "artwork names no file; write artwork: heron.svg")
	}
	return text, nil
}

func parseWord(text string) (string, error) {
	if text == "" {
		return "", fault.New("job-value", "", "an empty word matches nothing; leave the key out")
	}
	return text, nil
}

func parsePlates(text string) (Plates, error) {
	return choose("way of sharing out plates", text, []Plates{Fewest, Coloured})
}

// undecided is the word for ticket.Any.
const undecided ticket.Material = "undecided"

// Materials are the words for what a transfer is pressed onto.
func Materials() []ticket.Material {
	return []ticket.Material{undecided, ticket.Cotton, ticket.Polyester, ticket.Nylon, ticket.Acrylic, ticket.Glass}
}

// ParsePress reads the name of a material to press onto. Fault "choice".
func ParsePress(text string) (ticket.Material, error) {
	m, err := choose("material to press onto", text, Materials())
	if m == undecided {
		m = ticket.Any
	}
	return m, err
}

func parseYes(text string) (bool, error) {
	word, err := choose("answer", text, []string{"no", "yes", "false", "true"})
	return word == "yes" || word == "true", err
}
