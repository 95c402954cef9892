package web

import (
	"context"
	"net/http"

	"brushfall/internal/catalogue"
	"brushfall/internal/shop"
)

type catalogueBody struct {
	Sizes   []catalogueSize   `json:"sizes"`
	Colours []catalogueColour `json:"colours"`
	Goods   []goodsBody       `json:"goods"`
}

type catalogueSize struct {
	Size           string  `json:"size"`
	Smallest       float64 `json:"smallest" doc:"mm"`
	Largest        float64 `json:"largest"`
	Hole           float64 `json:"hole"`
	Mass           float64 `json:"grams" doc:"of one piece"`
	DiameterSource string  `json:"diameter_source"`
	HoleSource     string  `json:"hole_source"`
}

type catalogueColour struct {
	Colour  string   `json:"colour"`
	Finish  string   `json:"finish" enum:"clear,ab,opaque,opal,metal"`
	Hex     string   `json:"hex"`
	Sizes   []string `json:"sizes" doc:"none: all"`
	Own     bool     `json:"own"`
	Retired bool     `json:"retired"`
	Source  string   `json:"source"`
}

type goodsBody struct {
	Class   string  `json:"class" enum:"flock,tape,film,blank"`
	Name    string  `json:"name"`
	Width   float64 `json:"width" doc:"mm, 0: not known"`
	Height  float64 `json:"height"`
	Cost    string  `json:"cost,omitempty"`
	OnHand  int     `json:"on_hand"`
	Usual   bool    `json:"usual"`
	Own     bool    `json:"own"`
	Retired bool    `json:"retired"`
	Source  string  `json:"source"`
}

func (s *Server) catalogueRoutes() {
	none := catalogueOf(shop.BuiltInColours(), shop.BuiltInGoods(), nil)
	shopRoute(s, http.MethodGet, "catalogue", "catalogue", "What the shop works with: sizes, colours, sheets and blanks", 200, none, func(ctx context.Context, b Shop, _ *struct{}) (catalogueBody, error) {
		colours, err := b.Colours(ctx)
		if err != nil {
			return none, err
		}
		goods, err := b.Goods(ctx)
		if err != nil {
			return none, err
		}
		stock, err := b.Stock(ctx)
		return catalogueOf(colours, goods, stock), err
	})
}

func catalogueOf(colours []shop.Colour, goods []shop.Goods, stock []shop.Holding) catalogueBody {
	onHand := map[shop.Kind]int{}
	for _, h := range stock {
		onHand[h.Kind] = h.Pieces()
	}
	usual := shop.UsualOf(goods)
	return catalogueBody{
		Sizes: list(catalogue.Sizes(), func(z catalogue.Size) catalogueSize {
			return catalogueSize{z.Name, z.Smallest, z.Largest, z.Hole, z.Mass, z.DiameterSource, z.HoleSource}
		}),
		Colours: list(colours, func(c shop.Colour) catalogueColour {
			return catalogueColour{c.Name, string(c.Finish), c.Shown, append([]string{}, c.Sizes...), c.Own, c.Retired, c.Source}
		}),
		Goods: list(goods, func(g shop.Goods) goodsBody {
			return goodsBody{g.Class, g.Name, g.Width, g.Height, money(g.Cost), onHand[g.Kind()], usual[g.Class] == g.Name, g.Own, g.Retired, g.Source}
		}),
	}
}
