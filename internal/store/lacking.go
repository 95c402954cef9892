package store

import (
	"context"
	"database/sql"
	"math"
	"slices"

	"brushfall/internal/shop"
)

// shelfOf is what is at a place, and what was set aside of it for a making.
type shelfOf struct {
	tx        *sql.Tx
	place     string
	here, all map[shop.Kind]int
	aside     map[shop.Kind]int
}

// look reads what there is of a kind. Of materials and blanks that the book never had
// there is always enough: they are not booked.
func (s *shelfOf) look(ctx context.Context, k shop.Kind) error {
	if _, known := s.here[k]; known {
		return nil
	}
	var here, all, lots int
	err := s.tx.QueryRowContext(ctx, `SELECT COALESCE(SUM(iif(p.place = ?, p.pieces, 0)), 0), COALESCE(SUM(p.pieces), 0), COUNT(*)
		FROM lots l JOIN lot_places p ON p.lot = l.id WHERE l.size = ? AND l.colour = ?`, s.place, k.Size, k.Colour).Scan(&here, &all, &lots)
	if !k.Stone() && lots == 0 {
		here, all = math.MaxInt, math.MaxInt
	}
	s.here[k], s.all[k] = here, all
	return err
}

func (s *shelfOf) left(k shop.Kind) int { return s.here[k] - s.aside[k] }

// lacking refuses a making that something is missing for, and tells all that is. Fault
// "stock-short".
func lacking(ctx context.Context, tx *sql.Tx, m shop.Making, p *planner, lines []shop.Line) error {
	s := &shelfOf{tx: tx, place: m.Place, here: map[shop.Kind]int{}, all: map[shop.Kind]int{}, aside: map[shop.Kind]int{}}
	cut := map[int64]bool{} // designs that an earlier line cuts a template of
	part, fits := 0, 0
	for _, l := range lines {
		drawn, fresh, d, has, err := p.toMake(ctx, m, l)
		if err != nil {
			return err
		}
		has = has || cut[l.Design]
		cut[l.Design] = has || fresh > 0
		wants := func(n int) []shop.Want {
			of := min(n, drawn)
			return l.Needs(d, of, n-of, l.Cuts(has), false, p.usual)
		}
		whole := wants(drawn + fresh)
		for _, w := range whole {
			if err := s.look(ctx, w.Kind); err != nil {
				return err
			}
		}
		if n := shop.Fits(drawn+fresh, wants, s.left); part == 0 && n < drawn+fresh {
			part, fits = l.Number, n
		}
		for _, w := range whole {
			s.aside[w.Kind] += w.Pieces
		}
	}
	if part == 0 {
		return nil
	}
	return m.Lacks(s.lacks(), part, fits)
}

func (s *shelfOf) lacks() []shop.Lack {
	var out []shop.Lack
	for k, n := range s.aside {
		if n > s.here[k] {
			out = append(out, shop.Lack{Kind: k, Wanted: n, Here: s.here[k], Elsewhere: s.all[k] - s.here[k]})
		}
	}
	slices.SortFunc(out, func(a, b shop.Lack) int { return shop.CompareKinds(a.Kind, b.Kind) })
	return out
}
