package catalogue

import (
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// Stones are the sizes and colours that can be named: the built-in ones, with those of
// a shop in their place or beside them. The zero Stones are the built-in ones alone.
// Stones never change; they are given to whoever looks a name up.
type Stones struct {
	colours []Colour // all; nil: the built-in ones
}

// WithColours gives the stones with a shop's own colours: each in the place of the one
// of its name, or after the others.
func (s Stones) WithColours(own ...Colour) Stones {
	if len(own) == 0 {
		return s
	}
	all := s.Colours()
	for _, c := range own {
		c.Own = true
		if i := slices.IndexFunc(all, func(o Colour) bool { return o.Name == c.Name }); i >= 0 {
			all[i] = c
			continue
		}
		all = append(all, c)
	}
	s.colours = all
	return s
}

// Colours gives every colour, the built-in ones first.
func (s Stones) Colours() []Colour {
	if s.colours == nil {
		return Colours()
	}
	return slices.Clone(s.colours)
}

// FindSize looks a size up by its name, in any case and spacing ("ss 10"). The
// fault for an unknown one, code "size-unknown", lists the sizes there are.
func (s Stones) FindSize(name string) (Size, error) {
	key := strings.ToUpper(strings.ReplaceAll(strings.TrimSpace(name), " ", ""))
	var names []string
	for _, z := range loadSizes() {
		if z.Name == key {
			return z, nil
		}
		names = append(names, z.Name)
	}
	return Size{}, fault.New("size-unknown", "", "there is no stone size %q; the sizes are %s", name, strings.Join(names, ", "))
}

// FindColour looks a colour up by its name, in any case. The fault for an unknown one,
// code "colour-unknown", lists the colours there are and says where a shop enters its own.
func (s Stones) FindColour(name string) (Colour, error) {
	key := strings.ToLower(strings.Join(strings.Fields(name), " "))
	colours := s.colours
	if colours == nil {
		colours = loadColours()
	}
	var names []string
	for _, c := range colours {
		if c.Name == key {
			return c, nil
		}
		names = append(names, c.Name)
	}
	all := strings.Join(names, ", ")
	return Colour{}, fault.New("colour-unknown", "", "there is no stone colour %q; the colours are %s; one of your own is entered in the shop's book: brushfall catalogue colour %q --shown \"#rrggbb\"", name, all, key).
		OnPage("there is no stone colour %q; the colours are %s; one of your own is entered in the shop, under Catalogue", name, all)
}
