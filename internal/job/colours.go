package job

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
)

// Bounds of patterns: a period longer than 60 stones is no pattern to an eye.
const (
	mostColours = 12
	mostPeriod  = 60
	defaultSeed = 1
)

// plain is the word for one colour, which takes back the job's pattern in a rule.
const plain = "plain"

// wish is a pattern being read.
type wish struct {
	coat    layout.Coat
	pattern string // the key it was given by
	extra   string // the key of what goes with one pattern only
	roles   []layout.Coat
}

// patternKeys are the keys that each give a pattern.
var patternKeys = []string{"along", "rows", "gradient", "random"}

// readColours reads "plain", or a mapping of one pattern for all stones, of rim,
// spine and bed with a colour or a pattern each, or of both: then the pattern is
// for the roles that are not named.
func readColours(s source, n ast.Node, at *Setting) error {
	at.Colours = nil
	if text, err := s.text(n, ""); err == nil {
		if strings.EqualFold(strings.TrimSpace(text), plain) {
			return nil
		}
		return s.fail(n, "colours", "colours takes a pattern, such as {along: [crystal, jet]}, or plain; one colour for all goes to stone: {colour: %s}", text)
	}
	var w wish
	fields := patternFields()
	for _, role := range []design.Role{design.RoleRim, design.RoleSpine, design.RoleBed} {
		fields = append(fields, field[wish]{string(role), func(s source, n ast.Node, w *wish) error {
			c, err := readRole(s, n, role)
			w.roles = append(w.roles, c)
			return err
		}})
	}
	if err := fill(s, n, "colours", &w, fields); err != nil {
		return err
	}
	if w.pattern != "" || len(w.roles) == 0 || w.extra != "" {
		if err := s.checkPattern(n, w); err != nil {
			return err
		}
		w.roles = append(w.roles, w.coat)
	}
	at.Colours = w.roles
	return nil
}

// readRole reads the colour or the pattern of one role.
func readRole(s source, n ast.Node, role design.Role) (layout.Coat, error) {
	roles := []design.Role{role}
	if _, err := s.text(n, ""); err == nil {
		c, err := read(s, n, string(role), s.stones.FindColour)
		return layout.Coat{Roles: roles, Colours: []string{c.Name}}, err
	}
	var w wish
	if err := fill(s, n, string(role), &w, patternFields()); err != nil {
		return layout.Coat{}, err
	}
	w.coat.Roles = roles
	return w.coat, s.checkPattern(n, w)
}

// checkPattern holds a mapping to one pattern and what goes with it.
func (s source) checkPattern(n ast.Node, w wish) error {
	goes := map[string]string{"towards": "gradient", "seed": "random"}[w.extra]
	switch {
	case w.pattern == "":
		return s.fail(n, "colours", "the pattern is missing; choose %s", either(patternKeys))
	case w.extra != "" && goes != w.pattern:
		return s.fail(n, "colours", "%s goes with %s, not with %s", w.extra, goes, w.pattern)
	}
	return nil
}

// patternFields are the keys of a pattern.
func patternFields() []field[wish] {
	one := func(key string, pattern layout.Pattern, colours func(s source, n ast.Node, w *wish) error) field[wish] {
		return field[wish]{key, func(s source, n ast.Node, w *wish) error {
			if w.pattern != "" {
				return s.fail(n, "colours", "%s and %s are two patterns; keep one of them, or give rim, spine and bed one each", w.pattern, key)
			}
			w.pattern, w.coat.Pattern = key, pattern
			return colours(s, n, w)
		}}
	}
	return []field[wish]{
		one("along", layout.Along, readPeriod),
		one("rows", layout.ByRow, readPeriod),
		one("gradient", layout.Gradient, readGradient),
		one("random", layout.Random, readShares),
		{"towards", func(s source, n ast.Node, w *wish) error {
			w.extra = "towards"
			d, err := read(s, n, "towards", parseDirection)
			w.coat.Towards, w.coat.Outward = d.angle, d.outward
			return err
		}},
		{"seed", func(s source, n ast.Node, w *wish) (err error) {
			w.extra = "seed"
			w.coat.Seed, err = read(s, n, "seed", parseSeed)
			return err
		}},
	}
}

// timesForm is a colour that stands several times: "crystal x 2".
var timesForm = regexp.MustCompile(`^(.*\S)\s+[x×]\s*([0-9]{1,3})$`)

// readPeriod reads the colours that follow each other, of which one may stand
// several times: [crystal x 2, jet].
func readPeriod(s source, n ast.Node, w *wish) error {
	for _, node := range items(n) {
		text, err := s.text(node, w.pattern)
		if err != nil {
			return err
		}
		times := 1
		if m := timesForm.FindStringSubmatch(strings.TrimSpace(text)); m != nil {
			text = m[1]
			times, _ = strconv.Atoi(m[2])
		}
		c, err := s.stones.FindColour(text)
		if err != nil {
			return s.within(node, err)
		}
		if times < 1 || len(w.coat.Colours)+times > mostPeriod {
			return s.fail(node, "colours", "%s may have 1 to %d stones before it begins again", w.pattern, mostPeriod)
		}
		for range times {
			w.coat.Colours = append(w.coat.Colours, c.Name)
		}
	}
	return s.severalColours(n, w)
}

// severalColours refuses a pattern of fewer than two colours.
func (s source) severalColours(n ast.Node, w *wish) error {
	different := slices.Clone(w.coat.Colours)
	slices.Sort(different)
	different = slices.Compact(different)
	if len(different) < 2 || len(different) > mostColours {
		return s.fail(n, "colours", "%s takes 2 to %d colours: %s: [crystal, jet]; one colour for all goes to stone", w.pattern, mostColours, w.pattern)
	}
	return nil
}

// readGradient reads the colours from one end to the other.
func readGradient(s source, n ast.Node, w *wish) error {
	for _, node := range items(n) {
		c, err := read(s, node, "gradient", s.stones.FindColour)
		if err != nil {
			return err
		}
		if k := len(w.coat.Colours); k > 0 && w.coat.Colours[k-1] == c.Name {
			return s.fail(node, "colours", "%s follows itself; leave one out", c.Name)
		}
		w.coat.Colours = append(w.coat.Colours, c.Name)
	}
	return s.severalColours(n, w)
}

// readShares reads colours with their shares: {crystal: 70, jet: 30}.
func readShares(s source, n ast.Node, w *wish) error {
	w.coat.Seed = defaultSeed
	values, ok := mappingValues(n)
	if !ok {
		return s.fail(n, "colours", "random takes colours with their shares: random: {crystal: 70, jet: 30}")
	}
	for _, v := range values {
		c, err := read(s, v.Key, "a colour", s.stones.FindColour)
		if err != nil {
			return err
		}
		if slices.Contains(w.coat.Colours, c.Name) {
			return s.fail(v.Key, "job-key", "%q stands twice; keep one of them", c.Name)
		}
		share, err := read(s, v.Value, "a share", parsePortion)
		if err != nil {
			return err
		}
		w.coat.Colours = append(w.coat.Colours, c.Name)
		w.coat.Shares = append(w.coat.Shares, share)
	}
	return s.severalColours(n, w)
}

// parsePortion reads 70, 0.7 or 70%: only the proportions of shares count.
func parsePortion(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), 64)
	if err != nil || !(v > 0 && v <= 1e6) {
		return 0, fault.New("colours", "", "%q is no share; write a number above 0, such as 70 for 70 of 100", text)
	}
	return v, nil
}

func parseSeed(text string) (uint64, error) {
	v, err := strconv.ParseUint(strings.TrimSpace(text), 10, 32)
	if err != nil {
		return 0, fault.New("colours", "", "%q is no seed; write a whole number from 0 to %d: each gives another draw", text, uint32(math.MaxUint32))
	}
	return v, nil
}

// direction is where a gradient goes.
type direction struct {
	angle   float64 // radians, clockwise on the page from rightwards
	outward bool
}

// ways are the words for directions.
var ways = []string{"down", "up", "right", "left", "outwards"}

// parseDirection reads one of the words, or an angle such as "30 deg", clockwise
// from rightwards.
func parseDirection(text string) (direction, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	switch slices.Index(ways, text) {
	case 0:
		return direction{angle: math.Pi / 2}, nil
	case 1:
		return direction{angle: -math.Pi / 2}, nil
	case 2:
		return direction{}, nil
	case 3:
		return direction{angle: math.Pi}, nil
	case 4:
		return direction{outward: true}, nil
	}
	for _, mark := range []string{"deg", "°"} {
		if number, ok := strings.CutSuffix(text, mark); ok {
			if v, err := strconv.ParseFloat(strings.TrimSpace(number), 64); err == nil && math.Abs(v) <= 360 {
				return direction{angle: v * math.Pi / 180}, nil
			}
		}
	}
	return direction{}, fault.New("colours", "", "there is no direction %q; choose %s, or an angle clockwise from rightwards such as 30 deg", text, either(ways))
}
