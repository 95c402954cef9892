package web

import (
	"context"

	"brushfall/internal/catalogue"
	"brushfall/internal/shop"
)

// looks tells of what has colours, as a screen shows them.
type looks struct{ catalogue.Stones }

// looksOf gives the looks of a shop's stones.
func looksOf(ctx context.Context, b Shop) (looks, error) {
	colours, err := b.Colours(ctx)
	return looks{shop.StonesOf(colours)}, err
}

// hex gives a colour as a screen shows it; empty for what is none.
func (l looks) hex(colour string) string {
	c, err := l.FindColour(colour)
	if err != nil {
		return ""
	}
	return c.Hex
}

// looked is a handler's answer for what was found, with its looks. It comes last, so
// that the error that stood in the way is passed on.
func looked[T, O any](ctx context.Context, b Shop, found T, err error, tell func(looks, T) O) (O, error) {
	var none O
	if err != nil {
		return none, err
	}
	l, err := looksOf(ctx, b)
	if err != nil {
		return none, err
	}
	return tell(l, found), nil
}

func (l looks) holdings(all []shop.Holding) []holdingBody      { return list(all, l.holding) }
func (l looks) templates(all []shop.TemplateSet) []TemplateRow { return list(all, l.template) }
func (l looks) brushings(all []shop.Brushing) []brushBody      { return list(all, l.brush) }
