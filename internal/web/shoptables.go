package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// badRowBody is a row of a table that is wrong.
type badRowBody struct {
	Code    string `json:"code"`
	Where   string `json:"where,omitempty"`
	Message string `json:"message"`
}

// tableBody is what came of a table.
type tableBody struct {
	Rows   int          `json:"rows" doc:"below the head"`
	Pieces int          `json:"pieces,omitempty" doc:"of a table of stock"`
	Booked bool         `json:"booked" doc:"false for a dry run, and where a row is wrong"`
	Bad    []badRowBody `json:"bad"`
	New    []ListedRow  `json:"new,omitempty" doc:"of a price list: new prices and changed ones"`
	Gone   []ListedRow  `json:"gone,omitempty" doc:"of a price list: taken off it"`
}

// OfTable is a table that comes in.
type OfTable struct {
	Type    string `header:"Content-Type"`
	DryRun  bool   `query:"dry_run" doc:"only look"`
	RawBody []byte `contentType:"multipart/form-data"`
}

type pricesTableIn struct {
	OfTable
	Whole bool `query:"whole" doc:"the table is the whole list: take off what is not in it"`
}

func (s *Server) tableRoutes() {
	shopFile(s, "stock.csv", "stock-csv", "The stones on hand as a table", func(ctx context.Context, b Shop, w io.Writer, _ *struct{}) error {
		all, err := b.Stock(ctx)
		if err != nil {
			return err
		}
		return shop.WriteStock(w, all)
	})
	shopFile(s, "customers.csv", "customers-csv", "The customers as a table", func(ctx context.Context, b Shop, w io.Writer, _ *struct{}) error {
		all, err := b.Customers(ctx, "")
		if err != nil {
			return err
		}
		return shop.WriteCustomers(w, all)
	})
	shopFile(s, "prices.csv", "prices-csv", "The price list as a table", func(ctx context.Context, b Shop, w io.Writer, _ *struct{}) error {
		all, err := b.PriceList(ctx)
		if err != nil {
			return err
		}
		return shop.WritePrices(w, all)
	})
	shopRoute(s, http.MethodPost, "stock.csv", "import-stock", "Receive the stones of a table, all rows or none", 200, tableBody{}, s.importStock)
	shopRoute(s, http.MethodPost, "customers.csv", "import-customers", "Add the customers of a table, all rows or none", 200, tableBody{}, s.importCustomers)
	shopRoute(s, http.MethodPost, "prices.csv", "import-prices", "Put the prices of a table on the list, all rows or none", 200, tableBody{}, s.importPrices)
}

// rowsOf gives the rows of the file of a form, and what its reader says of it.
func rowsOf[Row any](in *OfTable, read func(io.Reader) (good []Row, bad []error, err error)) ([]Row, tableBody, error) {
	out := tableBody{Bad: []badRowBody{}}
	file, err := oneFile(in.Type, in.RawBody)
	if err != nil {
		return nil, out, err
	}
	good, bad, err := read(bytes.NewReader(file.Data))
	if err != nil {
		return good, out, err
	}
	out.Rows = len(good) + len(bad)
	if out.Rows == 0 {
		return good, out, fault.New("csv-head", file.Name, "there is no row below the head")
	}
	for _, err := range bad {
		row := badRowBody{Code: fault.CodeOf(err), Message: err.Error()}
		if f, ok := errors.AsType[*fault.Error](err); ok {
			row.Where, row.Message = f.Where, f.Shown()
		}
		out.Bad = append(out.Bad, row)
	}
	if len(bad) > 0 && !in.DryRun {
		first := fmt.Sprintf("%s: %s", out.Bad[0].Where, out.Bad[0].Message)
		return good, out, fault.New("csv-line", file.Name, "%d of %d rows are wrong, so nothing was booked; look at all of them with a dry run. The first, %s", len(bad), out.Rows, first)
	}
	out.Booked = !in.DryRun
	return good, out, nil
}

func (s *Server) importStock(ctx context.Context, b Shop, in *OfTable) (tableBody, error) {
	good, out, err := rowsOf(in, func(r io.Reader) ([]shop.Receipt, []error, error) {
		return shop.ReadStock(r, func(size, colour string) (shop.Kind, error) { return b.Find(ctx, size, colour) })
	})
	for _, r := range good {
		out.Pieces += r.Pieces
	}
	if err == nil && out.Booked {
		_, err = b.Receive(ctx, s.opt.Now(), good)
	}
	return out, err
}

func (s *Server) importCustomers(ctx context.Context, b Shop, in *OfTable) (tableBody, error) {
	good, out, err := rowsOf(in, shop.ReadCustomers)
	if err == nil && out.Booked {
		_, err = b.AddCustomers(ctx, s.opt.Now(), good)
	}
	return out, err
}

func (s *Server) importPrices(ctx context.Context, b Shop, in *pricesTableIn) (tableBody, error) {
	good, out, err := rowsOf(&in.OfTable, shop.ReadPrices)
	if err != nil {
		return out, err
	}
	before, err := b.PriceList(ctx)
	if err != nil {
		return out, err
	}
	fresh, gone := office.ListChanges(before, good, in.Whole)
	out.New, out.Gone = list(fresh, listedOf), list(gone, listedOf)
	if out.Booked {
		err = b.SetListed(ctx, s.opt.Now(), good, in.Whole)
	}
	return out, err
}
