package web

import (
	"context"
	"net/http"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// Shop is the shop's book as the page sees it.
type Shop = office.Book

// OpenShop gives the shop's book. With begin it is begun where there is none; without,
// nil and no error say that there is none yet.
type OpenShop func(ctx context.Context, begin bool) (Shop, error)

func (s *Server) shopRoutes() {
	s.stockRoutes()
	s.buyRoutes()
	s.customerRoutes()
	s.jobRoutes()
	s.shelfRoutes()
	s.cutRoutes()
	s.priceRoutes()
	s.quoteRoutes()
	s.tableRoutes()
	s.catalogueRoutes()
	s.shopPaperRoutes()
	s.bookRoutes()
}

// shopRoute is route for an operation on the book. One that only looks gets nothing,
// its zero answer, where there is no book yet; one that changes something begins it.
func shopRoute[I, O any](s *Server, method, path, id, summary string, status int, none O, handler func(context.Context, Shop, *I) (O, error)) {
	route(s, method, "/api/shop/"+path, id, summary, status, func(ctx context.Context, in *I) (*bodyOf[O], error) {
		if s.opt.Shop == nil {
			return nil, fault.New("book-missing", "", "this workbench has no book")
		}
		b, err := s.opt.Shop(ctx, method != http.MethodGet)
		if err != nil {
			return nil, err
		}
		if b == nil {
			return &bodyOf[O]{none}, nil
		}
		out, err := handler(ctx, b, in)
		return &bodyOf[O]{out}, err
	})
}

// nothing is the answer of what has none.
type nothing struct{}

// amount reads money that may be left out.
func amount(text string) (*shop.Money, error) {
	if text == "" {
		return nil, nil
	}
	m, err := shop.ParseMoney(text)
	return &m, err
}

// money writes an amount; empty where it is not known.
func money(m *shop.Money) string {
	if m == nil {
		return ""
	}
	return m.String()
}

// moment writes a time as the page reads it.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05Z")
}

// list gives a list that is never null.
func list[T, R any](all []T, row func(T) R) []R {
	out := []R{}
	for _, v := range all {
		out = append(out, row(v))
	}
	return out
}
