package web

import (
	"context"
	"errors"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// costBody is what one transfer costs the shop by its book. Each is empty where that is
// not known; Missing says why.
type costBody struct {
	Each     string `json:"each,omitempty" doc:"what making one transfer costs, materials and work"`
	Currency string `json:"currency,omitempty" doc:"of ISO 4217; left out: the book does not say"`
	Missing  string `json:"missing,omitempty" doc:"why it cannot be reckoned"`
	Code     string `json:"code,omitempty" doc:"of the fault that stands in the way: price-unset, price-stones; left out: there is no book yet"`
	Of       string `json:"of,omitempty" doc:"the settings or the stones that it lacks, with commas between"`
}

// costPlaces is how many decimals of a cost are shown.
const costPlaces = 2

// cost gives what one transfer of a layout costs, as a quote for one transfer has it;
// nil where there can be no book.
func (s *Server) cost(ctx context.Context, d job.Draft) (*costBody, error) {
	if s.opt.Shop == nil {
		return nil, nil
	}
	out, err := s.reckoned(ctx, d)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		out := &costBody{Missing: shownOf(err), Code: fault.CodeOf(err)}
		if f, ok := errors.AsType[*fault.Error](err); ok {
			out.Of = f.Where
		}
		return out, nil
	case out == nil:
		return &costBody{Missing: "the shop's book has no prices yet"}, nil
	}
	return out, nil
}

// reckoned is cost, with what stands in the way as an error; nil where no book is begun.
func (s *Server) reckoned(ctx context.Context, d job.Draft) (*costBody, error) {
	b, err := s.opt.Shop(ctx, false)
	if err != nil || b == nil {
		return nil, err
	}
	p, err := office.NewPricing(ctx, b, nil)
	if err != nil {
		return nil, err
	}
	item, err := p.Item(ctx, b, office.Line{Made: office.Made{Document: d.Document}, Quantity: 1, For: price.ForTransfer})
	if err != nil {
		return nil, err
	}
	c, err := price.CostOf(item.Piece, price.Making{For: item.For, Quantity: item.Quantity}, p.Settings)
	if err != nil {
		return nil, err
	}
	return &costBody{Each: c.Total.StringFixed(costPlaces), Currency: p.Settings.Currency}, nil
}

// timings gives the shop's own times of its work, for tickets; nil where there is no book
// or it cannot be read: the ticket then says that it has the usual ones.
func (s *Server) timings(ctx context.Context) map[string]price.Value {
	if s.opt.Shop == nil {
		return nil
	}
	b, err := s.opt.Shop(ctx, false)
	if err != nil || b == nil {
		return nil
	}
	rates, err := b.Rates(ctx)
	if err != nil {
		return nil
	}
	return shop.Timings(rates)
}
