package store

import (
	"context"
	"strconv"
	"strings"

	"brushfall/internal/shop"
)

// Shortages implements shop.Jobs.
func (b *Book) Shortages(ctx context.Context) ([]shop.Shortage, error) {
	var reserved []shop.Shortage
	p, err := b.planner(ctx, b.db)
	if err != nil {
		return nil, b.wrap(err)
	}
	err = b.each(ctx, `SELECT size, colour, SUM(pieces), GROUP_CONCAT(DISTINCT job) FROM reservations GROUP BY size, colour`, nil, func(scan func(...any) error) error {
		var s shop.Shortage
		var waiting string
		if err := scan(&s.Kind.Size, &s.Kind.Colour, &s.Reserved, &waiting); err != nil {
			return err
		}
		for text := range strings.SplitSeq(waiting, ",") {
			id, err := strconv.ParseInt(text, 10, 64)
			if err != nil {
				return damaged(b.path, err)
			}
			s.Jobs = append(s.Jobs, id)
		}
		reserved = append(reserved, s)
		return nil
	})
	if err != nil {
		return nil, err
	}
	onHand, err := b.onHand(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range reserved {
		if id, ok := s.Kind.Design(); ok {
			if _, err := p.design(ctx, id); err != nil {
				return nil, b.wrap(err)
			}
		}
	}
	return shop.Shortages(reserved, onHand, p.designs, p.usual), nil
}

// onHand gives the pieces of every kind there ever was, over all places.
func (b *Book) onHand(ctx context.Context) (map[shop.Kind]int, error) {
	out := map[shop.Kind]int{}
	err := b.each(ctx, `SELECT l.size, l.colour, SUM(p.pieces) FROM lot_places p CROSS JOIN lots l ON l.id = p.lot GROUP BY l.size, l.colour`, nil, func(scan func(...any) error) error {
		var k shop.Kind
		var pieces int
		if err := scan(&k.Size, &k.Colour, &pieces); err != nil {
			return err
		}
		out[k] = pieces
		return nil
	})
	return out, err
}
