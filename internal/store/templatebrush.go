package store

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"brushfall/internal/shop"
)

// FreeStones implements shop.Templates.
func (b *Book) FreeStones(ctx context.Context) (map[shop.Kind]int, error) {
	out, err := b.onHand(ctx)
	if err != nil {
		return nil, err
	}
	err = b.each(ctx, `SELECT size, colour, SUM(pieces) FROM reservations GROUP BY size, colour`, nil, func(scan func(...any) error) error {
		var k shop.Kind
		var pieces int
		if err := scan(&k.Size, &k.Colour, &pieces); err != nil {
			return err
		}
		out[k] -= pieces
		return nil
	})
	return out, err
}

// WhatToBrush implements shop.Templates. Of all templates it reads the stones alone;
// the rest of those that it tells of.
func (b *Book) WhatToBrush(ctx context.Context, q shop.BrushQuestion) ([]shop.Brushing, error) {
	free, err := b.FreeStones(ctx)
	if err != nil {
		return nil, err
	}
	all, err := b.templateStones(ctx)
	if err != nil {
		return nil, err
	}
	colours, err := b.Colours(ctx)
	if err != nil {
		return nil, err
	}
	q.Stones = shop.StonesOf(colours)
	out := shop.Brushable(all, free, q)
	if len(out) == 0 {
		return out, nil
	}
	pick := templateQuery{where: []string{anyOf(`t.id`, len(out))}}
	for _, o := range out {
		pick.args = append(pick.args, o.Template.ID)
	}
	found, err := b.templates(ctx, b.db, pick)
	if err != nil {
		return nil, b.wrap(err)
	}
	whole := make(map[int64]shop.TemplateSet, len(found))
	for _, t := range found {
		whole[t.ID] = t
	}
	for i, o := range out {
		out[i].Template = whole[o.Template.ID]
	}
	return out, nil
}

// templateStones gives the templates that are not gone, the newest first, with
// their stones and no more.
func (b *Book) templateStones(ctx context.Context) ([]shop.TemplateSet, error) {
	type cut struct {
		id   int64
		made string
	}
	var order []cut
	err := b.packed(ctx, b.db, `template, made`, `template_states WHERE condition <> 'gone'`, nil, func(f *fields) {
		order = append(order, cut{f.int64(), f.text()})
	})
	if err != nil {
		return nil, b.wrap(err)
	}
	slices.SortFunc(order, func(a, b cut) int { return cmp.Or(strings.Compare(b.made, a.made), cmp.Compare(b.id, a.id)) })
	out := make([]shop.TemplateSet, len(order))
	for i, o := range order {
		out[i].ID = o.id
	}
	return out, b.wrap(b.addKinds(ctx, b.db, out))
}
