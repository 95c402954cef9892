package web

import (
	"context"
	"net/http"

	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// ListedRow is a price of the list.
type ListedRow struct {
	Design string `json:"design"`
	For    string `json:"for"`
	From   int    `json:"from"`
	Price  string `json:"price"`
}

type rateBody struct {
	At    string `json:"at"`
	Name  string `json:"name"`
	Value string `json:"value" doc:"empty: back to the default; of a timing the seconds"`
	Times int    `json:"times,omitempty" doc:"of a timing"`
}

func (s *Server) priceRoutes() {
	usual, _ := price.Read(nil) // the defaults are sound
	shopRoute(s, http.MethodGet, "prices", "price-list", "The price list as it stands", 200, []ListedRow{}, func(ctx context.Context, b Shop, _ *struct{}) ([]ListedRow, error) {
		all, err := b.PriceList(ctx)
		return list(all, listedOf), err
	})
	shopRoute(s, http.MethodPut, "prices", "put-prices", "Put prices on the list", 200, nothing{}, func(ctx context.Context, b Shop, in *struct {
		Whole bool `query:"whole" doc:"these are the whole list: take off what is not among them"`
		Body  []ListedRow
	},
	) (nothing, error) {
		var rows []shop.Listed
		for _, l := range in.Body {
			each, err := shop.ParseMoney(l.Price)
			if err != nil {
				return nothing{}, err
			}
			rows = append(rows, shop.Listed{Design: l.Design, For: l.For, From: l.From, Price: each})
		}
		return nothing{}, b.SetListed(ctx, s.opt.Now(), rows, in.Whole)
	})
	shopRoute(s, http.MethodGet, "prices/settings", "price-settings", "What prices are made of, and where each figure comes from", 200, office.SettingRows(usual), func(ctx context.Context, b Shop, _ *struct{}) ([]office.SettingRow, error) {
		p, err := office.NewPricing(ctx, b, nil)
		return office.SettingRows(p.Settings), err
	})
	shopRoute(s, http.MethodGet, "prices/settings/history", "price-history", "All that was ever set and timed, oldest first", 200, []rateBody{}, func(ctx context.Context, b Shop, _ *struct{}) ([]rateBody, error) {
		all, err := b.Rates(ctx)
		return list(all, func(r shop.Rate) rateBody { return rateBody{moment(r.At), r.Name, r.Value, r.Times} }), err
	})
	shopRoute(s, http.MethodPut, "prices/settings", "put-settings", "Set what prices are made of; an empty value goes back to the default", 200, []office.SettingRow{}, func(ctx context.Context, b Shop, in *bodyOf[map[string]string]) ([]office.SettingRow, error) {
		var rates []shop.Rate
		for name, value := range in.Body {
			rates = append(rates, shop.Rate{Name: name, Value: value})
		}
		return s.rated(ctx, b, rates)
	})
	shopRoute(s, http.MethodPost, "prices/timings", "time-work", "Book how long a work took; the mean of the timings is used", 200, []office.SettingRow{}, func(ctx context.Context, b Shop, in *bodyOf[struct {
		Work    string `json:"work"`
		Seconds string `json:"seconds"`
		Times   int    `json:"times" minimum:"1" maximum:"100000"`
	}],
	) ([]office.SettingRow, error) {
		return s.rated(ctx, b, []shop.Rate{{Name: in.Body.Work, Value: in.Body.Seconds, Times: in.Body.Times}})
	})
}

// rated keeps rates and gives the settings as they stand then.
func (s *Server) rated(ctx context.Context, b Shop, rates []shop.Rate) ([]office.SettingRow, error) {
	if err := office.SetRates(ctx, b, s.opt.Now(), rates); err != nil {
		return nil, err
	}
	p, err := office.NewPricing(ctx, b, nil)
	return office.SettingRows(p.Settings), err
}
