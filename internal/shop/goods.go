package shop

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Goods are a material or a blank as the shop has it. Width and Height are mm, those
// of a sheet or of a blank's printable box, 0 where not known. Cost is what one costs
// where no lot says; nil: not known. Usual are the ones of their class that jobs take.
// Own says that the shop changed the built-in row, or added it.
type Goods struct {
	Class, Name   string
	Width, Height float64
	Cost          *Money
	Usual         bool
	Retired       bool
	Own           bool
	Source        string
}

// BlankClass is the class of what transfers are pressed on.
const BlankClass = catalogue.Blank

// Kind gives the kind that the stock counts them as.
func (g Goods) Kind() Kind { return Kind{g.Class, g.Name} }

// Colour is a colour of stones as the shop has it. Shown is "#rrggbb", for pictures.
// Sizes are those it comes in, none: all of them.
type Colour struct {
	Name    string
	Finish  catalogue.Finish
	Shown   string
	Sizes   []string
	Retired bool
	Own     bool
	Source  string
}

// Catalogue keeps what the shop works with: the built-in tables, with the shop's own
// rows in the place of those of the same name, and beside them. Faults beyond those
// of Book and of Check: "goods-unknown".
type Catalogue interface {
	// Goods gives all, by class, the built-in ones first.
	Goods(ctx context.Context) ([]Goods, error)
	// SetGoods adds a row, or puts it in the place of the one of that class and name.
	SetGoods(ctx context.Context, g Goods) error
	// Colours gives all, the built-in ones first.
	Colours(ctx context.Context) ([]Colour, error)
	// SetColour adds a row, or puts it in the place of the one of that name.
	SetColour(ctx context.Context, c Colour) error
	// Find gives the kind of these names, as NewKind does, of the shop's own rows too.
	Find(ctx context.Context, size, colour string) (Kind, error)
}

// longestSide bounds the sides of goods, in mm.
const longestSide = 10_000

// Check gives the row with its texts made regular. Faults: "goods", "text", "money".
func (g Goods) Check() (Goods, error) {
	g.Class = strings.ToLower(strings.TrimSpace(g.Class))
	if !slices.Contains(catalogue.Classes(), g.Class) {
		return g, fault.New("goods", "", "%q is no class of goods; choose one of %s", g.Class, strings.Join(catalogue.Classes(), ", "))
	}
	k, err := newGoodsKind(g.Class, g.Name)
	if err != nil {
		return g, err
	}
	g.Name = k.Colour
	if !(g.Width >= 0 && g.Width <= longestSide && g.Height >= 0 && g.Height <= longestSide) {
		return g, fault.New("goods", k.String(), "a box of %g × %g mm cannot be; give at most %d mm", g.Width, g.Height, longestSide)
	}
	if g.Usual && (g.Class == catalogue.Blank || g.Retired) {
		return g, fault.New("goods", k.String(), "only a material that is not retired can be the usual one; a line of a job names its blank")
	}
	if g.Source, err = cleanText("the source", g.Source); err != nil || g.Cost == nil {
		return g, err
	}
	return g, checkMoney(*g.Cost)
}

var hexForm = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// Check gives the row with its texts made regular. Faults: "colour", "size-unknown", "text".
func (c Colour) Check() (Colour, error) {
	var err error
	if c.Name, err = cleanText("the colour", strings.ToLower(c.Name)); err != nil {
		return c, err
	}
	if c.Source, err = cleanText("the source", c.Source); err != nil {
		return c, err
	}
	c.Shown = strings.ToLower(c.Shown)
	switch {
	case c.Name == "":
		return c, fault.New("colour", "", "give the colour's name")
	case !hexForm.MatchString(c.Shown):
		return c, fault.New("colour", c.Name, "%q is no colour of a screen; write red, green and blue such as #1f4e79", c.Shown)
	case !slices.Contains(catalogue.Finishes(), c.Finish):
		return c, fault.New("colour", c.Name, "%q is no finish; choose one of clear, ab, opaque, opal, metal", c.Finish)
	}
	var sizes []string
	for _, s := range catalogue.Sizes() { // in their order, each once
		for _, name := range c.Sizes {
			found, err := catalogue.FindSize(name)
			if err != nil {
				return c, err
			}
			if found.Name == s.Name && !slices.Contains(sizes, s.Name) {
				sizes = append(sizes, s.Name)
			}
		}
	}
	c.Sizes = sizes
	return c, nil
}

// Usual says which goods of a class jobs take.
type Usual map[string]string

// UsualOf gives of each class of materials the one that is marked as usual, else the
// first that is not retired.
func UsualOf(goods []Goods) Usual {
	out := Usual{}
	for _, g := range goods {
		if _, there := out[g.Class]; g.Class == catalogue.Blank || g.Retired || (there && !g.Usual) {
			continue
		}
		out[g.Class] = g.Name
	}
	return out
}

// BuiltInGoods gives those of the catalogue.
func BuiltInGoods() []Goods {
	var out []Goods
	for _, g := range catalogue.AllGoods() {
		out = append(out, Goods{Class: g.Class, Name: g.Name, Width: g.Width, Height: g.Height, Source: g.Source})
	}
	return out
}

// SortGoods brings goods into the order of their classes, and leaves it within each.
func SortGoods(goods []Goods) {
	slices.SortStableFunc(goods, func(a, b Goods) int {
		return slices.Index(catalogue.Classes(), a.Class) - slices.Index(catalogue.Classes(), b.Class)
	})
}

// BuiltInColours gives those of the catalogue.
func BuiltInColours() []Colour {
	var out []Colour
	for _, c := range catalogue.Colours() {
		out = append(out, Colour{Name: c.Name, Finish: c.Finish, Shown: c.Hex, Source: c.Source})
	}
	return out
}

// StonesOf gives the stones that can be named in a shop with these colours.
func StonesOf(colours []Colour) catalogue.Stones {
	var own []catalogue.Colour
	for _, c := range colours {
		if c.Own {
			own = append(own, catalogue.Colour{Name: c.Name, Hex: c.Shown, Finish: c.Finish, Sizes: c.Sizes, Source: c.Source})
		}
	}
	return catalogue.Stones{}.WithColours(own...)
}

// OwnKind gives the kind of a stone size in a colour of the shop's own; unknown is the
// fault where there is none.
func OwnKind(colours []Colour, size, colour string, unknown error) (Kind, error) {
	name := strings.ToLower(strings.Join(strings.Fields(colour), " "))
	s, err := catalogue.FindSize(size)
	if err != nil {
		return Kind{}, err
	}
	if !slices.ContainsFunc(colours, func(c Colour) bool { return c.Name == name }) {
		return Kind{}, unknown
	}
	return Kind{s.Name, name}, nil
}

// KnownGoods refuses goods that are not listed, fault "goods-unknown".
func KnownGoods(goods []Goods, k Kind) error {
	var names []string
	for _, g := range goods {
		if g.Kind() == k {
			return nil
		}
		if g.Class == k.Size && !g.Retired {
			names = append(names, g.Name)
		}
	}
	return fault.New("goods-unknown", "", "there is no %s %q in the catalogue; there are %s; or add it: brushfall catalogue add", k.Size, k.Colour, strings.Join(names, ", ")).
		OnPage("there is no %s %q in the catalogue; there are %s; or add it under Catalogue", k.Size, k.Colour, strings.Join(names, ", "))
}
