package web

import (
	"context"
	"net/http"
	"slices"

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
		return readCatalogue(ctx, b)
	})
	shopRoute(s, http.MethodPut, "catalogue/colours", "set-colour", "Enter a colour of stones, or put it in the place of the one of its name", 200, catalogueColour{}, setColour)
	shopRoute(s, http.MethodPut, "catalogue/goods", "set-goods", "Enter a sheet or a blank, or put it in the place of the one of its class and name", 200, goodsBody{}, setGoods)
}

type colourIn struct {
	Body struct {
		Colour  string   `json:"colour" maxLength:"200"`
		Hex     string   `json:"hex" maxLength:"20" doc:"how a screen shows it, #27567f"`
		Finish  string   `json:"finish,omitempty" enum:"clear,ab,opaque,opal,metal" default:"clear"`
		Sizes   []string `json:"sizes,omitempty" maxItems:"100" doc:"those it comes in; left out: all"`
		Retired bool     `json:"retired,omitempty" doc:"the shop buys it no more"`
		Source  string   `json:"source,omitempty" maxLength:"200"`
	}
}

func setColour(ctx context.Context, b Shop, in *colourIn) (catalogueColour, error) {
	c, err := shop.Colour{
		Name: in.Body.Colour, Shown: in.Body.Hex, Finish: catalogue.Finish(in.Body.Finish), Sizes: in.Body.Sizes,
		Retired: in.Body.Retired, Own: true, Source: in.Body.Source,
	}.Check()
	if err == nil {
		err = b.SetColour(ctx, c)
	}
	return colourOf(c), err
}

type goodsIn struct {
	Body struct {
		Class   string  `json:"class" enum:"flock,tape,film,blank"`
		Name    string  `json:"name" maxLength:"200"`
		Width   float64 `json:"width,omitempty" minimum:"0" doc:"mm; 0: not known"`
		Height  float64 `json:"height,omitempty" minimum:"0"`
		Cost    string  `json:"cost,omitempty" maxLength:"20" doc:"of one, where no lot says"`
		Usual   bool    `json:"usual,omitempty" doc:"the one of its class that jobs take; no blank is"`
		Retired bool    `json:"retired,omitempty"`
		Source  string  `json:"source,omitempty" maxLength:"200"`
	}
}

func setGoods(ctx context.Context, b Shop, in *goodsIn) (goodsBody, error) {
	cost, err := amount(in.Body.Cost)
	if err != nil {
		return goodsBody{}, err
	}
	g, err := shop.Goods{
		Class: in.Body.Class, Name: in.Body.Name, Width: in.Body.Width, Height: in.Body.Height, Cost: cost,
		Usual: in.Body.Usual, Retired: in.Body.Retired, Source: in.Body.Source,
	}.Check()
	if err != nil {
		return goodsBody{}, err
	}
	if err := b.SetGoods(ctx, g); err != nil {
		return goodsBody{}, err
	}
	all, err := readCatalogue(ctx, b)
	i := slices.IndexFunc(all.Goods, func(o goodsBody) bool { return o.Class == g.Class && o.Name == g.Name })
	if err != nil || i < 0 {
		return goodsBody{}, err
	}
	return all.Goods[i], nil
}

// readCatalogue gathers the catalogue with what is on hand of the goods.
func readCatalogue(ctx context.Context, b Shop) (catalogueBody, error) {
	colours, err := b.Colours(ctx)
	if err != nil {
		return catalogueBody{}, err
	}
	goods, err := b.Goods(ctx)
	if err != nil {
		return catalogueBody{}, err
	}
	stock, err := b.Stock(ctx)
	return catalogueOf(colours, goods, stock), err
}

func colourOf(c shop.Colour) catalogueColour {
	return catalogueColour{c.Name, string(c.Finish), c.Shown, append([]string{}, c.Sizes...), c.Own, c.Retired, c.Source}
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
		Colours: list(colours, colourOf),
		Goods: list(goods, func(g shop.Goods) goodsBody {
			return goodsBody{g.Class, g.Name, g.Width, g.Height, money(g.Cost), onHand[g.Kind()], usual[g.Class] == g.Name, g.Own, g.Retired, g.Source}
		}),
	}
}
