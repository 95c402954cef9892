package web

import (
	"context"
	"net/http"

	"brushfall/internal/office"
	"brushfall/internal/shop"
)

type breakBody struct {
	From  int    `json:"from" minimum:"1"`
	Price string `json:"price"`
}

type packBody struct {
	ID       int64       `json:"id,omitempty"`
	Supplier string      `json:"supplier"`
	Size     string      `json:"size"`
	Colour   string      `json:"colour"`
	Labelled int         `json:"labelled" doc:"pieces on its label"`
	ByWeight bool        `json:"by_weight,omitempty"`
	Prices   []breakBody `json:"prices"`
}

type supplierBody struct {
	Name     string `json:"name"`
	Delivery string `json:"delivery" doc:"of an order, whatever is in it"`
}

func (s *Server) buyRoutes() {
	shopRoute(s, http.MethodGet, "suppliers", "suppliers", "Who sells packs", 200, []supplierBody{}, func(ctx context.Context, b Shop, _ *struct{}) ([]supplierBody, error) {
		all, err := b.Suppliers(ctx)
		return list(all, func(p shop.Supplier) supplierBody { return supplierBody{p.Name, p.Delivery.String()} }), err
	})
	shopRoute(s, http.MethodPut, "suppliers", "put-supplier", "Add a supplier, or change its delivery", 200, nothing{}, func(ctx context.Context, b Shop, in *bodyOf[supplierBody]) (nothing, error) {
		delivery, err := shop.ParseMoney(in.Body.Delivery)
		if err != nil {
			return nothing{}, err
		}
		return nothing{}, b.SetSupplier(ctx, shop.Supplier{Name: in.Body.Name, Delivery: delivery})
	})
	shopRoute(s, http.MethodGet, "packs", "packs", "What suppliers sell", 200, []packBody{}, func(ctx context.Context, b Shop, _ *struct{}) ([]packBody, error) {
		all, err := b.Packs(ctx)
		return list(all, packOf), err
	})
	shopRoute(s, http.MethodPut, "packs", "put-pack", "Add a pack, or change its prices", 200, packBody{}, putPack)
	shopRoute(s, http.MethodDelete, "packs/{pack}", "remove-pack", "Forget a pack", 200, nothing{}, func(ctx context.Context, b Shop, in *struct {
		Pack int64 `path:"pack"`
	},
	) (nothing, error) {
		return nothing{}, b.RemovePack(ctx, in.Pack)
	})
	shopRoute(s, http.MethodPost, "buy", "buy", "The packs that meet all wants at the least cost", 200, buyBody{}, s.buy)
}

func packOf(p shop.Pack) packBody {
	return packBody{p.ID, p.Supplier, p.Kind.Size, p.Kind.Colour, p.Labelled, p.Filled == shop.ByWeight, list(p.Breaks, func(b shop.Break) breakBody { return breakBody{b.From, b.Price.String()} })}
}

func putPack(ctx context.Context, b Shop, in *bodyOf[packBody]) (packBody, error) {
	kind, err := b.Find(ctx, in.Body.Size, in.Body.Colour)
	if err != nil {
		return packBody{}, err
	}
	p := shop.Pack{Supplier: in.Body.Supplier, Kind: kind, Labelled: in.Body.Labelled, Filled: shop.ByPieces}
	if in.Body.ByWeight {
		p.Filled = shop.ByWeight
	}
	for _, r := range in.Body.Prices {
		price, err := shop.ParseMoney(r.Price)
		if err != nil {
			return packBody{}, err
		}
		p.Breaks = append(p.Breaks, shop.Break{From: r.From, Price: price})
	}
	p, err = b.SetPack(ctx, p)
	return packOf(p), err
}

// BuyIn says what is to be bought for.
type BuyIn struct {
	Body struct {
		Designs []wantedDesign `json:"designs,omitempty" maxItems:"100" doc:"designs of the bench"`
		Wants   []wantedStones `json:"wants,omitempty" maxItems:"1000"`
		Jobs    bool           `json:"jobs,omitempty" doc:"also what promised jobs take"`
	}
}

type wantedDesign struct {
	ID     string `json:"id"`
	Number int    `json:"number" minimum:"1" maximum:"100000" doc:"transfers"`
}

type wantedStones struct {
	Size   string `json:"size"`
	Colour string `json:"colour"`
	Pieces int    `json:"pieces" minimum:"1"`
}

type buyBody struct {
	Needs     []needBody     `json:"needs"`
	Suppliers []supplierBody `json:"suppliers" doc:"those with an order"`
	Goods     string         `json:"goods"`
	Delivery  string         `json:"delivery"`
	Total     string         `json:"total"`
}

type needBody struct {
	Size     string         `json:"size"`
	Colour   string         `json:"colour"`
	Wanted   int            `json:"wanted"`
	OnHand   int            `json:"on_hand"`
	Short    int            `json:"short"`
	Bought   int            `json:"bought"`
	Leftover int            `json:"leftover"`
	Unpriced int            `json:"unpriced" doc:"packs of ten gross, where no pack is known"`
	Packs    []purchaseBody `json:"packs"`
}

type purchaseBody struct {
	Supplier string `json:"supplier"`
	Labelled int    `json:"labelled"`
	Number   int    `json:"number"`
	Price    string `json:"price"`
	Cost     string `json:"cost"`
}

// buy reckons what to buy, less what is on hand.
func (s *Server) buy(ctx context.Context, b Shop, in *BuyIn) (buyBody, error) {
	l, err := s.buyList(ctx, b, in)
	return buyOf(l), err
}

func (s *Server) buyList(ctx context.Context, b Shop, in *BuyIn) (shop.List, error) {
	wants, err := s.wants(ctx, b, in)
	if err != nil {
		return shop.List{}, err
	}
	if in.Body.Jobs {
		lacking, err := b.Shortages(ctx)
		if err != nil {
			return shop.List{}, err
		}
		wants = append(wants, shop.Wants(lacking)...)
	}
	return office.Buy(ctx, b, wants)
}

// wants adds up what designs of the bench take, spare stones included, and more.
func (s *Server) wants(ctx context.Context, b Shop, in *BuyIn) ([]shop.Want, error) {
	var out []shop.Want
	for _, of := range in.Body.Designs {
		d, err := s.opt.Bench.Design(of.ID)
		if err != nil {
			return nil, err
		}
		last, err := s.laid(ctx, d)
		if err != nil {
			return nil, err
		}
		for _, c := range last.draft.Counts {
			out = append(out, shop.Want{Kind: shop.Kind{Size: c.Size, Colour: c.Colour}, Pieces: c.Take * of.Number})
		}
	}
	for _, w := range in.Body.Wants {
		kind, err := b.Find(ctx, w.Size, w.Colour)
		if err != nil {
			return nil, err
		}
		out = append(out, shop.Want{Kind: kind, Pieces: w.Pieces})
	}
	return out, nil
}

func buyOf(l shop.List) buyBody {
	return buyBody{
		Needs:     list(l.Needs, needOf),
		Suppliers: list(l.From, func(p shop.Supplier) supplierBody { return supplierBody{p.Name, p.Delivery.String()} }),
		Goods:     l.Goods.String(), Delivery: l.Delivery.String(), Total: l.Total().String(),
	}
}

func needOf(n shop.Need) needBody {
	return needBody{n.Kind.Size, n.Kind.Colour, n.Wanted, n.OnHand, n.Short, n.Bought, n.Leftover, n.Unpriced, list(n.Purchases, func(p shop.Purchase) purchaseBody {
		return purchaseBody{p.Pack.Supplier, p.Pack.Labelled, p.Packs, p.Price.String(), p.Cost.String()}
	})}
}
