package main

import (
	"bytes"
	"context"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// listedRow is a price of the list. Cost and Least are of prices just made.
type listedRow struct {
	Design string  `json:"design"`
	For    string  `json:"for"`
	From   int     `json:"from"`
	Price  string  `json:"price"`
	Cost   *string `json:"cost,omitempty"`
	Least  *string `json:"least,omitempty"`
}

func listedRows(list []shop.Listed, coin price.Coin) []listedRow {
	rows := []listedRow{}
	for _, l := range list {
		rows = append(rows, listedRow{Design: l.Design, For: l.For, From: l.From, Price: l.Price.StringFixed(int32(coin))})
	}
	return rows
}

type priceListFlags struct {
	path, quantities string
	fees             string
	blanks           []string
	keep             bool
}

func (a *app) priceListCommand() *cobra.Command {
	var f priceListFlags
	cmd := &cobra.Command{
		Use:     "list [DESIGN[:WHAT[:BLANK]]...]",
		Short:   "Make prices for designs by quantity, or show the price list",
		Long:    "Make prices for designs, for one piece and for the quantity breaks that are set, and\nwith --keep put them on the price list. Without a design, show the list.\n\n" + itemHelp,
		Example: "  brushfall price list badge:disc crest --at 1,12,50\n  brushfall price list badge:disc:\"disc 3 in\" --blank \"disc 3 in=1.40\" --keep\n  brushfall price list",
		RunE: func(cmd *cobra.Command, args []string) error {
			return withStore(cmd.Context(), f.path, store.Open, func(b *store.Book) error {
				blanks, err := blankCosts(f.blanks)
				if err != nil {
					return err
				}
				d, err := office.NewPricing(cmd.Context(), b, blanks)
				if err != nil {
					return err
				}
				if len(args) == 0 {
					list, err := b.PriceList(cmd.Context())
					if err != nil {
						return err
					}
					rows := listedRows(list, d.Settings.Coin)
					return a.say(rows, func(w *bytes.Buffer) { listedTable(w, rows, false) })
				}
				rows, list, err := f.make(cmd.Context(), b, d, args)
				if err != nil {
					return err
				}
				if f.keep {
					if err := b.SetListed(cmd.Context(), time.Now(), list, false); err != nil {
						return err
					}
				}
				return a.say(rows, func(w *bytes.Buffer) { listedTable(w, rows, f.keep) })
			})
		},
		ValidArgsFunction: filesOf("json"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.quantities, "at", "", "`NUMBERS` of pieces with commas between, 1,12,50 (default the breaks that are set)")
	fs.StringVar(&f.fees, "fees", "", "`NAMES` of the fees that are taken, card, market or card,market")
	fs.StringArrayVar(&f.blanks, "blank", nil, "what a blank costs, `\"NAME=AMOUNT\"`")
	fs.BoolVar(&f.keep, "keep", false, "put the prices on the list")
	a.bookFlag(fs, &f.path)
	return cmd
}

// make prices the designs of the arguments.
func (f priceListFlags) make(ctx context.Context, b *store.Book, d office.Pricing, args []string) ([]listedRow, []shop.Listed, error) {
	var quantities []int
	for text := range strings.SplitSeq(f.quantities, ",") {
		if strings.TrimSpace(text) == "" {
			continue
		}
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil {
			return nil, nil, fault.New("usage", "--at", "%q is no number of pieces; write numbers with commas between, such as 1,12,50", text)
		}
		quantities = append(quantities, n)
	}
	rows, list := []listedRow{}, []shop.Listed{}
	for _, arg := range args {
		l, err := parseItem(arg)
		if err != nil {
			return nil, nil, err
		}
		rungs, err := d.Ladder(ctx, b, l, fees(f.fees), quantities)
		if err != nil {
			return nil, nil, err
		}
		for _, r := range rungs {
			cost, least := r.Cost.String(), r.Least.StringFixed(int32(d.Settings.Coin))
			rows = append(rows, listedRow{r.Design, r.For, r.From, r.Price.StringFixed(int32(d.Settings.Coin)), &cost, &least})
			list = append(list, r.Listed)
		}
	}
	return rows, list, nil
}

// fees reads names with commas between.
func fees(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ',' || r == ' ' })
}

func listedTable(w *bytes.Buffer, rows []listedRow, kept bool) {
	if len(rows) == 0 {
		fmt.Fprintln(w, "No prices yet: brushfall price list DESIGN --keep")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	head := "design\tfor\tfrom\tprice"
	if rows[0].Cost != nil {
		head += "\tcosts\tearns from"
	}
	fmt.Fprintln(t, head)
	for _, r := range rows {
		line := fmt.Sprintf("%s\t%s\t%d\t%s", r.Design, r.For, r.From, r.Price)
		if r.Cost != nil {
			line += "\t" + *r.Cost + "\t" + *r.Least
		}
		fmt.Fprintln(t, line)
	}
	t.Flush()
	if kept {
		fmt.Fprintln(w, "These are on the price list now.")
	}
}

// pricesImported is what an import of prices tells.
type pricesImported struct {
	File   string      `json:"file"`
	DryRun bool        `json:"dry_run"`
	Rows   int         `json:"rows"`
	Added  []listedRow `json:"new"`
	Gone   []listedRow `json:"taken_off"`
	Bad    []badRow    `json:"bad"`
}

func (a *app) priceImportCommand() *cobra.Command {
	var path string
	var dry, whole bool
	cmd := &cobra.Command{
		Use:     "import FILE.csv",
		Short:   "Put the prices of a table on the list",
		Long:    "Put the prices of a table on the list, all of them or, where a row is wrong, none. Every\nwrong row is told. The columns are design, for, from, price; docs/pricing.md explains them.\n--dry-run only looks.",
		Example: "  brushfall price import prices.csv --dry-run\n  brushfall price import prices.csv --whole",
		Args:    oneArgument("the table to read, a CSV file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := readFile(args[0])
			if err != nil {
				return err
			}
			good, bad, err := shop.ReadPrices(bytes.NewReader(text))
			if err != nil {
				return within(args[0], err)
			}
			out := pricesImported{File: args[0], DryRun: dry, Rows: len(good) + len(bad), Added: []listedRow{}, Gone: []listedRow{}, Bad: []badRow{}}
			if out.Rows == 0 {
				return fault.New("csv-head", args[0], "there is no row below the head")
			}
			if len(bad) > 0 {
				out.Bad = a.tellRows(args[0], bad)
				return a.refuseTable(out, args[0], len(bad), out.Rows)
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				before, err := b.PriceList(cmd.Context())
				if err != nil {
					return err
				}
				p, err := office.NewPricing(cmd.Context(), b, nil)
				if err != nil {
					return err
				}
				fresh, gone := office.ListChanges(before, good, whole)
				out.Added, out.Gone = listedRows(fresh, p.Settings.Coin), listedRows(gone, p.Settings.Coin)
				if !dry {
					if err := b.SetListed(cmd.Context(), time.Now(), good, whole); err != nil {
						return err
					}
				}
				return a.say(out, func(w *bytes.Buffer) { out.text(w) })
			})
		},
		ValidArgsFunction: filesOf("csv"),
	}
	cmd.Flags().BoolVar(&dry, "dry-run", false, "only look, and tell what is wrong and what would change")
	cmd.Flags().BoolVar(&whole, "whole", false, "the table is the whole list: take off what is not in it")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (o pricesImported) text(w *bytes.Buffer) {
	did := "is on the list"
	if o.DryRun {
		did = "all rows are good, nothing was changed"
	}
	fmt.Fprintf(w, "%s: %s; %s new or changed, %s taken off\n", o.File, did, many(len(o.Added), "price"), many(len(o.Gone), "price"))
	for _, r := range o.Added {
		fmt.Fprintf(w, "  + %s, %s, from %d: %s\n", r.Design, r.For, r.From, r.Price)
	}
	for _, r := range o.Gone {
		fmt.Fprintf(w, "  - %s, %s, from %d: %s\n", r.Design, r.For, r.From, r.Price)
	}
}

func (a *app) priceExportCommand() *cobra.Command {
	var path, to string
	cmd := &cobra.Command{
		Use:     "export",
		Short:   "Write the price list as a table",
		Example: "  brushfall price export -o prices.csv",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				list, err := b.PriceList(cmd.Context())
				if err != nil {
					return err
				}
				var text bytes.Buffer
				if err := shop.WritePrices(&text, list); err != nil {
					return err
				}
				return a.export(to, text.Bytes(), "the price list")
			})
		},
	}
	cmd.Flags().StringVarP(&to, "out", "o", "", "`FILE` to write (default: stdout)")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
