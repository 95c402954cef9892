package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"time"

	"brushfall/internal/office"
	"brushfall/internal/shop"
)

type quotePaperIn struct {
	OfQuote
	OnPaper
	Paid string `query:"paid" maxLength:"20" doc:"of an order sheet: what was paid already"`
}

type pricePaperIn struct {
	OnPaper
	Day   string   `query:"day" maxLength:"10" doc:"of the list; left out: today"`
	Until string   `query:"until" maxLength:"10" doc:"last day on which it holds"`
	Note  []string `query:"note,explode" maxItems:"20"`
}

type labelsIn struct {
	OnPaper
	Code      []string `query:"code,explode" minItems:"1" maxItems:"500" doc:"of the templates, in the order of the labels"`
	Grid      string   `query:"grid" maxLength:"20" doc:"labels across and down, 3x8"`
	Label     string   `query:"label" maxLength:"40" doc:"their width and height, 70x36mm"`
	Corner    string   `query:"corner" maxLength:"40" doc:"of the first, across and down, 0x4.5mm"`
	Step      string   `query:"step" maxLength:"40" doc:"from one to the next"`
	First     int      `query:"first" minimum:"1" default:"1" doc:"begin at the label of this number"`
	Outline   bool     `query:"outline" doc:"draw the edges, for plain paper"`
	EachPlate bool     `query:"each_plate" doc:"a label for each plate"`
}

func (s *Server) shopPaperRoutes() {
	shopFile(s, "quotes/{quote}/quote.pdf", "quote-paper", "A quote for the customer", func(ctx context.Context, b Shop, w io.Writer, in *quotePaperIn) error {
		return office.PrintQuote(ctx, w, b, in.Quote, in.print())
	})
	shopFile(s, "quotes/{quote}/order.pdf", "order-paper", "The order sheet of a quote that is taken", func(ctx context.Context, b Shop, w io.Writer, in *quotePaperIn) error {
		paid := shop.Money{}
		if in.Paid != "" {
			var err error
			if paid, err = shop.ParseMoney(in.Paid); err != nil {
				return err
			}
		}
		return office.PrintOrder(ctx, w, b, in.Quote, paid, in.print())
	})
	shopFile(s, "prices.pdf", "price-paper", "The price list on paper", func(ctx context.Context, b Shop, w io.Writer, in *pricePaperIn) error {
		paper := office.PriceListPaper{Day: s.opt.Now(), Notes: in.Note}
		for text, day := range map[string]*time.Time{in.Day: &paper.Day, in.Until: &paper.Until} {
			if text == "" {
				continue
			}
			var err error
			if *day, err = office.ParseDay(text); err != nil {
				return err
			}
		}
		return office.PrintPriceList(ctx, w, b, paper, in.print())
	})
	shopFile(s, "templates/labels.pdf", "template-labels", "Labels for templates, with a QR code", func(ctx context.Context, b Shop, w io.Writer, in *labelsIn) error {
		sheet := office.LabelSheet{Grid: in.Grid, Label: in.Label, Corner: in.Corner, Step: in.Step, First: in.First, Outline: in.Outline, EachPlate: in.EachPlate}
		return office.PrintLabels(ctx, w, b, in.Code, sheet, in.print())
	})
	route(s, http.MethodPost, "/api/shop/buy.pdf", "buy-paper", "A buy list with boxes to tick", 200, s.buyPaper)
}

type buyPaperIn struct {
	OnPaper
	BuyIn
	Currency string `query:"currency" maxLength:"3" doc:"left out: by the settings"`
	Day      string `query:"day" maxLength:"10" doc:"left out: a line to fill in"`
}

// buyPaper prints what buy answers.
func (s *Server) buyPaper(ctx context.Context, in *buyPaperIn) (*downloadOut, error) {
	b, err := s.book(ctx)
	if err != nil {
		return nil, err
	}
	l, err := s.buyList(ctx, b, &in.BuyIn)
	if err != nil {
		return nil, err
	}
	day := time.Time{}
	if in.Day != "" {
		if day, err = office.ParseDay(in.Day); err != nil {
			return nil, err
		}
	}
	p, err := office.NewPricing(ctx, b, nil)
	if err != nil {
		return nil, err
	}
	if in.Currency == "" {
		in.Currency = p.Settings.Currency
	}
	how := in.print()
	if how.Language == "" {
		how.Language = p.Settings.Language
	}
	if how.Shop == "" {
		how.Shop = p.Settings.Shop
	}
	stones, err := s.stones(ctx)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = office.PrintBuyList(&out, office.Answer(l), stones, in.Currency, day, how)
	return file("buy.pdf", out.Bytes()), err
}
