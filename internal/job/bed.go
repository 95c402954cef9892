package job

import (
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/artwork"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
)

// BedWish says how a bed of a style is set: as the layout is told, but for the
// centre of spokes, which is a place on the drawing; nil: none is asked for.
type BedWish struct {
	layout.BedSettings
	At *Spot
}

// On gives the settings for a drawing.
func (w BedWish) On(d artwork.Drawing) layout.BedSettings {
	as := w.BedSettings
	if w.At != nil {
		at := w.At.On(d)
		as.Centre = &at
	}
	return as
}

// styled is a bed being read.
type styled struct {
	style design.BedStyle
	as    BedWish
}

func beds() []design.BedStyle {
	return []design.BedStyle{design.Comb, design.Echo, design.Courses, design.Spokes, design.Scatter}
}

// bedKeys gives the keys that a bed of a style can have.
func bedKeys(style design.BedStyle) []field[styled] {
	out := []field[styled]{set("style", parseBed, func(b *styled) *design.BedStyle { return &b.style })}
	angle := set("angle", parseAngle, func(b *styled) *float64 { return &b.as.Angle })
	switch style {
	case design.Courses:
		out = append(out, angle, set("columns", parseColumns, func(b *styled) *layout.Columns { return &b.as.Columns }))
	case design.Spokes:
		out = append(out, angle, field[styled]{"centre", func(s source, n ast.Node, b *styled) error {
			at, err := s.spot(n)
			b.as.At = &at
			return err
		}})
	case design.Scatter:
		out = append(out, field[styled]{"density", readDensity}, set("seed", parseBedSeed, func(b *styled) *uint64 { return &b.as.Seed }))
	}
	return out
}

// readBed reads a style, or a mapping of a style and its settings. What a rule
// leaves out of its own bed is not the job's but the plain way of the style.
func readBed(s source, n ast.Node, at *Setting) error {
	var b styled
	var err error
	if _, ok := mappingValues(n); ok {
		b, err = s.bed(n)
	} else if b.style, err = read(s, n, "bed", parseBed); err == nil {
		b = plainBed(b.style)
	}
	at.Bed, at.BedAs = b.style, b.as
	return err
}

// plainBed gives the plain way of a style.
func plainBed(style design.BedStyle) styled {
	b := styled{style: style}
	if style == design.Scatter {
		b.as.Seed = defaultSeed
	}
	return b
}

// bed reads the mapping. The style says which other keys there can be.
func (s source) bed(n ast.Node) (styled, error) {
	goes := map[string][]string{} // the styles that each key goes with
	var known []string
	for _, style := range beds() {
		for _, f := range bedKeys(style) {
			if goes[f.key] == nil {
				known = append(known, f.key)
			}
			goes[f.key] = append(goes[f.key], string(style))
		}
	}
	found, err := s.entries(n, "bed", known)
	if err != nil {
		return styled{}, err
	}
	i := slices.IndexFunc(found, func(e entry) bool { return e.key == "style" })
	if i < 0 {
		return styled{}, s.fail(n, "bed", "the bed has no style; write it like {style: courses, angle: 30 deg}")
	}
	style, err := read(s, found[i].value, "style", parseBed)
	if err != nil {
		return styled{}, err
	}
	for _, e := range found {
		if !slices.Contains(goes[e.key], string(style)) {
			return styled{}, s.fail(e.at, "bed", "%s goes with %s, not with %s", e.key, either(goes[e.key]), style)
		}
	}
	b := plainBed(style)
	return b, fill(s, n, "bed", &b, bedKeys(style))
}

// parseBed reads a bed style. Fault "choice".
func parseBed(text string) (design.BedStyle, error) { return choose("bed", text, beds()) }

// parseColumns reads how courses stand to each other. Fault "choice".
func parseColumns(text string) (layout.Columns, error) {
	words := []string{"even", "line", "brick"}
	word, err := choose("way of setting columns", text, words)
	return []layout.Columns{layout.EvenSteps, layout.InLine, layout.Brick}[slices.Index(words, word)], err
}

// parseAngle reads an angle such as "30 deg", in radians. Fault "bed".
func parseAngle(text string) (float64, error) {
	d, err := parseDirection(text)
	if err != nil || slices.Contains(ways, strings.ToLower(strings.TrimSpace(text))) {
		return 0, fault.New("bed", "", "%q is no angle; write it in degrees, clockwise, such as 30 deg", text)
	}
	return d.angle, nil
}

func parseBedSeed(text string) (uint64, error) {
	seed, err := parseSeed(text)
	if err != nil {
		return 0, fault.New("bed", "", "%v", err)
	}
	return seed, nil
}

// readDensity reads one density, or a mapping of those at both ends and of the
// direction from one to the other.
func readDensity(s source, n ast.Node, b *styled) (err error) {
	if _, ok := mappingValues(n); !ok {
		b.as.Density, err = read(s, n, "density", parseDensity)
		return err
	}
	b.as.Density = 1
	ends := []field[styled]{
		set("from", parseDensity, func(b *styled) *float64 { return &b.as.Density }),
		set("to", parseDensity, func(b *styled) *float64 { return &b.as.DensityTo }),
		set("towards", parseTowards, func(b *styled) *float64 { return &b.as.Towards }),
	}
	if err := fill(s, n, "density", b, ends); err != nil {
		return err
	}
	if b.as.DensityTo == 0 {
		return s.fail(n, "bed", "the density has no end; write it like {from: 100%%, to: 20%%, towards: down}")
	}
	return nil
}

// parseDensity reads a share of a full bed: 60% or 0.6. Fault "bed".
func parseDensity(text string) (float64, error) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if percent {
		v /= 100
	}
	if err != nil || !(v >= layout.LeastDensity && v <= 1) {
		return 0, fault.New("bed", "", "%q is no density; write a share of a full bed from 1%% to 100%%, such as 60%%", text)
	}
	return v, nil
}

// parseTowards reads a direction across a region. Fault "bed".
func parseTowards(text string) (float64, error) {
	d, err := parseDirection(text)
	if err != nil || d.outward {
		return 0, fault.New("bed", "", "there is no direction %q for a density; choose down, up, right or left, or an angle clockwise from rightwards such as 30 deg", text)
	}
	return d.angle, nil
}
