package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// holdingRow is a kind on the list. Value is null where a cost is not known.
type holdingRow struct {
	Size   string     `json:"size"`
	Colour string     `json:"colour"`
	Design string     `json:"design,omitempty"` // of transfers: what the design is called
	Pieces int        `json:"pieces"`
	Value  *string    `json:"value"`
	Places []placeRow `json:"places"`
	Lots   []lotRow   `json:"lots"`
}

type placeRow struct {
	Place  string `json:"place"`
	Pieces int    `json:"pieces"`
}

type lotRow struct {
	Lot      int64     `json:"lot"`
	At       time.Time `json:"at"`
	Supplier string    `json:"supplier,omitempty"`
	Pieces   int       `json:"pieces"`
	Labelled int       `json:"labelled"`
	Filled   string    `json:"filled"`
	Cost     *string   `json:"cost"`
	Value    *string   `json:"value"`
}

// moneyShown is how many decimals a person sees of an amount; half is rounded away
// from nought.
const moneyShown = 2

func shown(m shop.Money, known bool) *string {
	if !known {
		return nil
	}
	text := m.StringFixed(moneyShown)
	return &text
}

func holdingRows(stock []shop.Holding) []holdingRow {
	rows := []holdingRow{}
	for _, h := range stock {
		r := holdingRow{Size: h.Kind.Size, Colour: h.Kind.Colour, Pieces: h.Pieces(), Value: shown(h.Value()), Places: []placeRow{}, Lots: []lotRow{}}
		for _, l := range h.Lots {
			if l.OnHand() == 0 {
				continue
			}
			one := lotRow{Lot: l.ID, At: l.At, Supplier: l.Supplier, Pieces: l.OnHand(), Labelled: l.Labelled, Filled: string(l.Filled), Value: shown(l.Value())}
			if l.Cost != nil {
				one.Cost = shown(*l.Cost, true)
			}
			r.Lots = append(r.Lots, one)
			for _, p := range l.Places {
				i := slices.IndexFunc(r.Places, func(q placeRow) bool { return q.Place == p.Place })
				if i < 0 {
					r.Places = append(r.Places, placeRow{Place: p.Place})
					i = len(r.Places) - 1
				}
				r.Places[i].Pieces += p.Pieces
			}
		}
		slices.SortFunc(r.Places, func(a, b placeRow) int { return cmp.Compare(a.Place, b.Place) })
		rows = append(rows, r)
	}
	return rows
}

func (a *app) stockListCommand() *cobra.Command {
	var path string
	var lots bool
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the stones, goods and transfers on hand",
		Example: "  brushfall stock list\n  brushfall stock list --lots\n  brushfall stock list --json",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				stock, err := b.Stock(cmd.Context())
				if err != nil {
					return err
				}
				rows := holdingRows(stock)
				if err := nameDesigns(cmd.Context(), b, stock, rows); err != nil {
					return err
				}
				return a.say(rows, func(w *bytes.Buffer) {
					if lots {
						lotTable(w, rows)
						return
					}
					stockTable(w, rows)
				})
			})
		},
	}
	cmd.Flags().BoolVar(&lots, "lots", false, "list every lot with its number")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// nameDesigns tells of transfers what their designs are called.
func nameDesigns(ctx context.Context, b *store.Book, stock []shop.Holding, rows []holdingRow) error {
	for i, h := range stock {
		if id, ok := h.Kind.Design(); ok {
			d, err := b.Design(ctx, id)
			if err != nil {
				return err
			}
			rows[i].Design = d.Name
		}
	}
	return nil
}

func orUnknown(text *string) string {
	if text == nil {
		return "not known"
	}
	return *text
}

func stockTable(w io.Writer, rows []holdingRow) {
	if len(rows) == 0 {
		fmt.Fprintln(w, "No stones yet: brushfall stock receive")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "size\tcolour\tpieces\tvalue\tat")
	for _, r := range rows {
		places := ""
		for i, p := range r.Places {
			if i > 0 {
				places += ", "
			}
			places += p.Place
			if len(r.Places) > 1 {
				places += fmt.Sprintf(" %d", p.Pieces)
			}
		}
		colour := r.Colour
		if r.Design != "" {
			colour += ", " + r.Design
		}
		fmt.Fprintf(t, "%s\t%s\t%d\t%s\t%s\n", r.Size, colour, r.Pieces, orUnknown(r.Value), places)
	}
	t.Flush()
}

func lotTable(w io.Writer, rows []holdingRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "lot\tsize\tcolour\tpieces\tof\tcost\tvalue\tsince\tfrom")
	for _, r := range rows {
		for _, l := range r.Lots {
			fmt.Fprintf(t, "%d\t%s\t%s\t%d\t%d by %s\t%s\t%s\t%s\t%s\n", l.Lot, r.Size, r.Colour, l.Pieces, l.Labelled, l.Filled, orUnknown(l.Cost), orUnknown(l.Value), l.At.Local().Format(time.DateOnly), l.Supplier)
		}
	}
	t.Flush()
}
