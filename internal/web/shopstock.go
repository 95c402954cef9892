package web

import (
	"context"
	"net/http"

	"brushfall/internal/office"
	"brushfall/internal/shop"
)

type lotBody struct {
	Lot      int64       `json:"lot"`
	At       string      `json:"at"`
	Supplier string      `json:"supplier,omitempty"`
	Pieces   int         `json:"pieces" doc:"on hand"`
	Cost     string      `json:"cost,omitempty" doc:"of the whole lot as it came in"`
	Places   []placeBody `json:"places"`
}

type placeBody struct {
	Place  string `json:"place"`
	Pieces int    `json:"pieces"`
}

type holdingBody struct {
	Size   string    `json:"size"`
	Colour string    `json:"colour"`
	Hex    string    `json:"hex,omitempty"`
	Pieces int       `json:"pieces"`
	Value  string    `json:"value"`
	All    bool      `json:"value_complete" doc:"every lot has a known cost"`
	Lots   []lotBody `json:"lots"`
}

type deedBody struct {
	ID     int64  `json:"id"`
	At     string `json:"at"`
	What   string `json:"what" enum:"received,used,counted,spoiled,moved"`
	Size   string `json:"size"`
	Colour string `json:"colour"`
	Pieces int    `json:"pieces"`
	Place  string `json:"place"`
	To     string `json:"to,omitempty"`
	Note   string `json:"note,omitempty"`
}

func (s *Server) stockRoutes() {
	shopRoute(s, http.MethodGet, "stock", "stock", "What is on the shelf", 200, []holdingBody{}, func(ctx context.Context, b Shop, _ *struct{}) ([]holdingBody, error) {
		all, err := b.Stock(ctx)
		return looked(ctx, b, all, err, looks.holdings)
	})
	shopRoute(s, http.MethodGet, "stock/history", "stock-history", "The newest deeds", 200, []deedBody{}, func(ctx context.Context, b Shop, in *historyIn) ([]deedBody, error) {
		all, err := b.History(ctx, in.Most)
		return list(all, deedOf), err
	})
	shopRoute(s, http.MethodPost, "stock/receive", "receive", "Book stones that came in", 201, deedBody{}, s.receive)
	shopRoute(s, http.MethodPost, "stock/change", "change-stock", "Book stones that were used, spoiled, counted or moved", 201, deedBody{}, s.changeStock)
	shopRoute(s, http.MethodPost, "stock/weigh", "weigh", "Count stones by weight, with a 95 % interval", 200, weighedBody{}, s.weigh)
}

func (l looks) holding(h shop.Holding) holdingBody {
	value, all := h.Value()
	out := holdingBody{Size: h.Kind.Size, Colour: h.Kind.Colour, Pieces: h.Pieces(), Value: value.String(), All: all, Lots: []lotBody{}}
	out.Hex = l.hex(h.Kind.Colour)
	for _, o := range h.Lots {
		if o.OnHand() > 0 {
			out.Lots = append(out.Lots, lotBody{o.ID, moment(o.At), o.Supplier, o.OnHand(), money(o.Cost), list(o.Places, func(p shop.Part) placeBody { return placeBody{p.Place, p.Pieces} })})
		}
	}
	return out
}

func deedOf(d shop.Deed) deedBody {
	return deedBody{d.ID, moment(d.At), string(d.What), d.Kind.Size, d.Kind.Colour, d.Pieces, d.Place, d.Towards, d.Note}
}

type historyIn struct {
	Most int `query:"most" minimum:"1" maximum:"1000" default:"100"`
}

type receiveIn struct {
	Body struct {
		Size     string  `json:"size" example:"SS10"`
		Colour   string  `json:"colour" example:"crystal"`
		Pieces   int     `json:"pieces,omitempty" minimum:"0" doc:"or gross, or grams"`
		Gross    float64 `json:"gross,omitempty" minimum:"0"`
		Grams    float64 `json:"grams,omitempty" minimum:"0" doc:"turned into pieces by the shop's own weighings, or the catalogue's mass"`
		ByWeight bool    `json:"by_weight,omitempty" doc:"packs filled by weight, which run over"`
		Place    string  `json:"place,omitempty"`
		Supplier string  `json:"supplier,omitempty"`
		Cost     string  `json:"cost,omitempty" example:"6.50" doc:"of the whole"`
		Note     string  `json:"note,omitempty"`
	}
}

func (s *Server) receive(ctx context.Context, b Shop, in *receiveIn) (deedBody, error) {
	kind, err := b.Find(ctx, in.Body.Size, in.Body.Colour)
	if err != nil {
		return deedBody{}, err
	}
	cost, err := amount(in.Body.Cost)
	if err != nil {
		return deedBody{}, err
	}
	r, err := office.HowMany{Pieces: in.Body.Pieces, Gross: in.Body.Gross, Grams: in.Body.Grams, ByWeight: in.Body.ByWeight}.Receipt(ctx, b, kind)
	if err != nil {
		return deedBody{}, err
	}
	r.Place, r.Supplier, r.Cost, r.Note = in.Body.Place, in.Body.Supplier, cost, in.Body.Note
	deeds, err := b.Receive(ctx, s.opt.Now(), []shop.Receipt{r})
	if err != nil {
		return deedBody{}, err
	}
	return deedOf(deeds[0]), nil
}

type changeIn struct {
	Body struct {
		Size   string `json:"size"`
		Colour string `json:"colour"`
		What   string `json:"what" enum:"used,spoiled,counted,moved"`
		Pieces int    `json:"pieces" minimum:"0"`
		Place  string `json:"place,omitempty"`
		To     string `json:"to,omitempty"`
		Lot    int64  `json:"lot,omitempty"`
		Note   string `json:"note,omitempty"`
	}
}

func (s *Server) changeStock(ctx context.Context, b Shop, in *changeIn) (deedBody, error) {
	kind, err := b.Find(ctx, in.Body.Size, in.Body.Colour)
	if err != nil {
		return deedBody{}, err
	}
	d, err := b.Change(ctx, s.opt.Now(), shop.Change{
		What: shop.What(in.Body.What), Kind: kind, Pieces: in.Body.Pieces, Place: in.Body.Place, Towards: in.Body.To, Lot: in.Body.Lot, Note: in.Body.Note,
	})
	return deedOf(d), err
}
