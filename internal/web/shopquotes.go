package web

import (
	"cmp"
	"context"
	"net/http"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// QuoteRow is a quote in a list.
type QuoteRow struct {
	Number   int64  `json:"quote,omitempty"`
	Day      string `json:"day"`
	Until    string `json:"until"`
	Customer int64  `json:"customer,omitempty"`
	Called   string `json:"called,omitempty"`
	Answer   string `json:"answer" enum:"given,taken,turned down,lapsed"`
	Job      int64  `json:"job,omitempty"`
	Note     string `json:"note,omitempty"`
	Total    string `json:"total" doc:"what the customer pays"`
}

// wholeQuoteBody is what "brushfall quote show --json" prints.
type wholeQuoteBody struct {
	QuoteRow
	price.Quote
	Settings map[string]price.Value `json:"settings"`
}

// AskedLine is a design that is asked for: that of a run, of a template that is kept,
// or of a line of the quote that is changed.
type AskedLine struct {
	Run      string `json:"run,omitempty" maxLength:"64"`
	Template string `json:"template,omitempty" maxLength:"100" doc:"or the code of a template"`
	Line     int    `json:"line,omitempty" minimum:"0" doc:"or a line of the quote that is changed, from 1"`
	Quantity int    `json:"quantity" minimum:"1" maximum:"100000"`
	For      string `json:"for" enum:"transfer,decal,garment,bag,bow,disc"`
	Blank    string `json:"blank,omitempty" maxLength:"200" doc:"of the catalogue, that they are pressed on"`
}

type extraBody struct {
	What   string `json:"what" maxLength:"200"`
	Amount string `json:"amount"`
}

type askedQuote struct {
	Lines    []AskedLine       `json:"lines" minItems:"1" maxItems:"500"`
	Customer int64             `json:"customer,omitempty"`
	Note     string            `json:"note,omitempty"`
	Day      string            `json:"day,omitempty" doc:"of the quote; left out: today"`
	Until    string            `json:"until,omitempty" doc:"last day on which it holds; left out: by the setting valid"`
	Fees     []string          `json:"fees,omitempty" enum:"card,market"`
	Extras   []extraBody       `json:"extras,omitempty" maxItems:"100"`
	Blanks   map[string]string `json:"blanks,omitempty" doc:"what blanks cost, by name"`
	With     map[string]string `json:"with,omitempty" doc:"settings for this quote alone"`
	Rush     bool              `json:"rush,omitempty"`
	Shelf    bool              `json:"from_shelf,omitempty" doc:"the transfers lie on the shelf already"`
	Listed   bool              `json:"listed,omitempty" doc:"take the prices of the list"`
}

// OfQuote names a quote.
type OfQuote struct {
	Quote int64 `path:"quote"`
}

type askQuoteIn struct {
	Body askedQuote
}

type changeQuoteIn struct {
	OfQuote
	Body askedQuote
}

func (s *Server) quoteRoutes() {
	shopRoute(s, http.MethodGet, "quotes", "quotes", "What was offered, the newest first", 200, []QuoteRow{}, func(ctx context.Context, b Shop, _ *struct{}) ([]QuoteRow, error) {
		all, err := b.Quotes(ctx)
		return list(all, s.quoteOf), err
	})
	shopRoute(s, http.MethodGet, "quotes/{quote}", "quote", "A quote, reckoned again from what it was made with", 200, wholeQuoteBody{}, s.showQuote)
	shopRoute(s, http.MethodPost, "quotes/reckon", "reckon-quote", "Reckon a quote and keep nothing", 200, wholeQuoteBody{}, func(ctx context.Context, b Shop, in *askQuoteIn) (wholeQuoteBody, error) {
		o, err := s.reckon(ctx, b, in.Body, nil)
		return s.wholeQuote(o.Quote, o.Made, o.Settings), err
	})
	shopRoute(s, http.MethodPost, "quotes", "make-quote", "Make a quote", 201, wholeQuoteBody{}, func(ctx context.Context, b Shop, in *askQuoteIn) (wholeQuoteBody, error) {
		return s.keepQuote(ctx, b, in.Body, nil)
	})
	shopRoute(s, http.MethodPost, "quotes/{quote}/reckon", "reckon-change", "Reckon a quote in the place of another and keep nothing", 200, wholeQuoteBody{}, func(ctx context.Context, b Shop, in *changeQuoteIn) (wholeQuoteBody, error) {
		before, err := b.Quote(ctx, in.Quote)
		if err != nil {
			return wholeQuoteBody{}, err
		}
		o, err := s.reckon(ctx, b, in.Body, &before)
		return s.wholeQuote(o.Quote, o.Made, o.Settings), err
	})
	shopRoute(s, http.MethodPost, "quotes/{quote}/change", "change-quote", "Make a quote in the place of another, which is turned down", 201, wholeQuoteBody{}, func(ctx context.Context, b Shop, in *changeQuoteIn) (wholeQuoteBody, error) {
		before, err := b.Quote(ctx, in.Quote)
		if err != nil {
			return wholeQuoteBody{}, err
		}
		return s.keepQuote(ctx, b, in.Body, &before)
	})
	s.answerRoutes()
}

func (s *Server) answerRoutes() {
	shopRoute(s, http.MethodPost, "quotes/{quote}/accept", "accept-quote", "The customer says yes: a job is asked for", 200, QuoteRow{}, func(ctx context.Context, b Shop, in *struct {
		OfQuote
		Body struct {
			Due string `json:"due,omitempty" doc:"day it is to be ready"`
		}
	},
	) (QuoteRow, error) {
		q, _, err := b.TakeQuote(ctx, s.opt.Now(), in.Quote, in.Body.Due)
		return s.quoteOf(q), err
	})
	shopRoute(s, http.MethodPost, "quotes/{quote}/decline", "decline-quote", "The customer says no", 200, QuoteRow{}, func(ctx context.Context, b Shop, in *OfQuote) (QuoteRow, error) {
		q, err := b.TurnDownQuote(ctx, in.Quote)
		return s.quoteOf(q), err
	})
	shopRoute(s, http.MethodPost, "prices/ladder", "price-ladder", "Make prices of a design by the number of pieces, and keep nothing", 200, []rungBody{}, s.ladder)
}

func (s *Server) quoteOf(q shop.Quote) QuoteRow {
	return QuoteRow{q.Number, q.Day, q.Until, q.Customer, q.Called, string(q.On(s.opt.Now().Format(time.DateOnly))), q.Job, q.Note, q.Total.String()}
}

func (s *Server) wholeQuote(q shop.Quote, made price.Quote, with price.Settings) wholeQuoteBody {
	return wholeQuoteBody{s.quoteOf(q), made, with.Given}
}

func (s *Server) showQuote(ctx context.Context, b Shop, in *OfQuote) (wholeQuoteBody, error) {
	q, err := b.Quote(ctx, in.Quote)
	if err != nil {
		return wholeQuoteBody{}, err
	}
	made, with, err := q.Basis.Reckon()
	return s.wholeQuote(q, made, with), err
}

// keepQuote makes a quote, in the place of another where there is one before.
func (s *Server) keepQuote(ctx context.Context, b Shop, in askedQuote, before *shop.Quote) (wholeQuoteBody, error) {
	o, err := s.reckon(ctx, b, in, before)
	if err != nil {
		return wholeQuoteBody{}, err
	}
	q, err := o.Keep(ctx, b, s.opt.Now(), before)
	return s.wholeQuote(q, o.Made, o.Settings), err
}

// reckon reads what is asked for and reckons it.
func (s *Server) reckon(ctx context.Context, b Shop, in askedQuote, before *shop.Quote) (office.Offer, error) {
	r := office.Request{
		Customer: in.Customer, Day: in.Day, Until: in.Until, Note: in.Note, Fees: in.Fees, With: in.With,
		Rush: in.Rush, FromShelf: in.Shelf, Listed: in.Listed, Before: before,
	}
	var err error
	if r.Blanks, err = amounts(in.Blanks); err != nil {
		return office.Offer{}, err
	}
	for _, e := range in.Extras {
		m, err := shop.ParseMoney(e.Amount)
		if err != nil {
			return office.Offer{}, err
		}
		r.Extras = append(r.Extras, price.Extra{What: e.What, Amount: m})
	}
	for _, l := range in.Lines {
		line, err := s.line(ctx, b, l, before)
		if err != nil {
			return office.Offer{}, err
		}
		r.Lines = append(r.Lines, line)
	}
	return office.Reckon(ctx, b, r, s.opt.Now())
}

// amounts reads money by name.
func amounts(texts map[string]string) (map[string]shop.Money, error) {
	out := map[string]shop.Money{}
	for name, text := range texts {
		m, err := shop.ParseMoney(text)
		if err != nil {
			return nil, err
		}
		out[name] = m
	}
	return out, nil
}

// line finds the design of a line.
func (s *Server) line(ctx context.Context, b Shop, in AskedLine, before *shop.Quote) (office.Line, error) {
	l := office.Line{Quantity: in.Quantity, For: in.For, Blank: in.Blank}
	var err error
	switch {
	case in.Run != "":
		l.Made, _, err = s.madeOf(in.Run)
	case in.Template != "":
		l.Made, err = office.MadeOfTemplate(ctx, b, in.Template)
	case before != nil && in.Line >= 1 && in.Line <= len(before.Basis.Order.Items):
		l.Item, l.Design = &before.Basis.Order.Items[in.Line-1], before.Basis.Designs[in.Line-1]
	default:
		err = fault.New("quote-line", "", "say of which design: a run of the bench, the code of a template, or a line of the quote that is changed")
	}
	l.Where = cmp.Or(in.Template, l.Made.Document.Design)
	return l, err
}

type rungBody struct {
	ListedRow
	Cost  string `json:"cost" doc:"what one costs the shop"`
	Least string `json:"least" doc:"smallest price that still earns"`
}

type ladderIn struct {
	Body struct {
		AskedLine
		At     []int             `json:"at,omitempty" maxItems:"20" doc:"numbers of pieces; none: one, and the breaks that are set"`
		Fees   []string          `json:"fees,omitempty" enum:"card,market"`
		Blanks map[string]string `json:"blanks,omitempty"`
	}
}

// ladder makes prices of a design by quantity.
func (s *Server) ladder(ctx context.Context, b Shop, in *ladderIn) ([]rungBody, error) {
	blanks, err := amounts(in.Body.Blanks)
	if err != nil {
		return nil, err
	}
	p, err := office.NewPricing(ctx, b, blanks)
	if err != nil {
		return nil, err
	}
	l, err := s.line(ctx, b, in.Body.AskedLine, nil)
	if err != nil {
		return nil, err
	}
	all, err := p.Ladder(ctx, b, l, in.Body.Fees, in.Body.At)
	return list(all, func(r office.Rung) rungBody {
		return rungBody{listedOf(r.Listed), r.Cost.String(), r.Least.String()}
	}), err
}

func listedOf(l shop.Listed) ListedRow {
	return ListedRow{l.Design, l.For, l.From, l.Price.String()}
}
