package main

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// completeKinds completes --size and --colour.
func completeKinds(cmd *cobra.Command) {
	var sizes, colours []string
	for _, s := range catalogue.Sizes() {
		sizes = append(sizes, fmt.Sprintf("%s\t%g to %g mm", s.Name, s.Smallest, s.Largest))
	}
	for _, c := range catalogue.Colours() {
		colours = append(colours, c.Name)
	}
	for flag, words := range map[string][]string{"size": sizes, "colour": colours} {
		// the error is for a flag that does not exist, or has its words already
		_ = cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	}
}

func (a *app) packCommand() *cobra.Command {
	cmd := group("pack", "Keep what suppliers sell: packs, prices, price breaks", "Keep the packs that suppliers sell, for brushfall buy.\n\n"+bookHelp)
	cmd.AddCommand(a.packAddCommand(), a.packListCommand(), a.packRemoveCommand(), a.supplierCommand())
	return cmd
}

// packRow is a pack for a machine.
type packRow struct {
	Pack     int64      `json:"pack"`
	Supplier string     `json:"supplier"`
	Size     string     `json:"size"`
	Colour   string     `json:"colour"`
	Pieces   int        `json:"pieces"`
	Filled   string     `json:"filled"`
	Prices   []priceRow `json:"prices"`
}

type priceRow struct {
	From  int    `json:"from"`
	Price string `json:"price"`
}

func packRowOf(p shop.Pack) packRow {
	r := packRow{Pack: p.ID, Supplier: p.Supplier, Size: p.Kind.Size, Colour: p.Kind.Colour, Pieces: p.Labelled, Filled: string(p.Filled)}
	for _, b := range p.Breaks {
		r.Prices = append(r.Prices, priceRow{b.From, b.Price.String()})
	}
	return r
}

// parseBreak reads "6.50", the price of one pack, or "10:5.90", from ten packs on.
func parseBreak(text string) (shop.Break, error) {
	from, price, ok := strings.Cut(text, ":")
	if !ok {
		from, price = "1", text
	}
	n, err := strconv.Atoi(from)
	if err != nil {
		return shop.Break{}, fault.New("pack-break", "--price", "%q is no price; write 6.50, or 10:5.90 for ten packs and more", text)
	}
	amount, err := shop.ParseMoney(price)
	return shop.Break{From: n, Price: amount}, at("--price", err)
}

func (a *app) packAddCommand() *cobra.Command {
	var path string
	var kind kindFlags
	var n office.HowMany
	var prices []string
	p := shop.Pack{}
	cmd := &cobra.Command{
		Use:     "add --supplier NAME --size SIZE --colour NAME (--pieces N | --gross N | --grams G) --price AMOUNT",
		Short:   "Add a pack, or change its prices",
		Long:    "Add a pack that a supplier sells, or change the prices of one that is there.\n--price 10:5.90 is the price of one pack when ten or more are bought.",
		Example: "  brushfall pack add --supplier \"Reed & Co\" --size SS10 --colour crystal --gross 10 --price 6.50 --price 10:5.90\n  brushfall pack add --supplier \"Reed & Co\" --size SS10 --colour crystal --gross 10 --by-weight --price 6.20",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if p.Kind, err = kind.kind(cmd.Context(), path); err != nil {
				return err
			}
			for _, text := range prices {
				b, err := parseBreak(text)
				if err != nil {
					return err
				}
				p.Breaks = append(p.Breaks, b)
			}
			if len(p.Breaks) == 0 {
				return fault.New("usage", "--price", "say what one pack costs: add --price 6.50")
			}
			if err := n.Check(); err != nil {
				return err
			}
			return withNewBook(cmd.Context(), path, func(b shop.Book) error {
				r, err := n.Receipt(cmd.Context(), b, p.Kind)
				if err != nil {
					return err
				}
				p.Labelled, p.Filled = r.Labelled, r.Filled
				p, err := b.SetPack(cmd.Context(), p)
				if err != nil {
					return err
				}
				return a.say(packRowOf(p), func(w *bytes.Buffer) {
					fmt.Fprintf(w, "%s: %s in packs of %d from %s\n", p.Kind, pricesText(p), p.Labelled, p.Supplier)
				})
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&p.Supplier, "supplier", "", "who sells it: a `NAME`")
	kind.add(cmd)
	fs.IntVar(&n.Pieces, "pieces", 0, "stones of a pack: a `NUMBER`")
	fs.Float64Var(&n.Gross, "gross", 0, "gross of 144 of a pack: a `NUMBER`")
	fs.Float64Var(&n.Grams, "grams", 0, "grams of a pack: a `NUMBER`")
	fs.BoolVar(&n.ByWeight, "by-weight", false, "the pack is filled by weight, and runs over")
	fs.StringArrayVar(&prices, "price", nil, "`PRICE` of one pack, 6.50; from ten packs on, 10:5.90")
	a.bookFlag(fs, &path)
	return cmd
}

func pricesText(p shop.Pack) string {
	var parts []string
	for _, b := range p.Breaks {
		text := b.Price.StringFixed(moneyShown)
		if b.From > 1 {
			text = fmt.Sprintf("from %d %s", b.From, text)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

func (a *app) packListCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the packs",
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withBook(cmd.Context(), path, func(b shop.Book) error {
				packs, err := b.Packs(cmd.Context())
				if err != nil {
					return err
				}
				over, err := b.Overrun(cmd.Context())
				if err != nil {
					return err
				}
				rows := []packRow{}
				for _, p := range packs {
					rows = append(rows, packRowOf(p))
				}
				return a.say(rows, func(w *bytes.Buffer) {
					t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
					fmt.Fprintln(t, "pack\tsize\tcolour\tpieces\tfrom\tprices")
					for _, p := range packs {
						fmt.Fprintf(t, "%d\t%s\t%s\t%d by %s\t%s\t%s\n", p.ID, p.Kind.Size, p.Kind.Colour, p.Labelled, p.Filled, p.Supplier, pricesText(p))
					}
					t.Flush()
					source := "common practice, none counted yet"
					if over.Lots > 0 {
						source = fmt.Sprintf("%s counted; the poorest %+.1f %%", many(over.Lots, "lot"), (over.Least-1)*100)
					}
					fmt.Fprintf(w, "Packs by weight run over by %.1f %% (%s)\n", (over.Mean-1)*100, source)
				})
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) packRemoveCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "remove NUMBER",
		Short:   "Forget a pack that is not sold any more",
		Example: "  brushfall pack remove 3",
		Args:    oneArgument("the number of the pack, as brushfall pack list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := strconv.ParseInt(args[0], 10, 64)
			if err != nil {
				return fault.New("pack", "", "%q is no number of a pack; brushfall pack list has them", args[0])
			}
			return withBook(cmd.Context(), path, func(b shop.Book) error {
				if err := b.RemovePack(cmd.Context(), id); err != nil {
					return err
				}
				return a.say(map[string]int64{"removed": id}, func(w *bytes.Buffer) { fmt.Fprintf(w, "pack %d is forgotten\n", id) })
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) supplierCommand() *cobra.Command {
	var path, delivery string
	cmd := &cobra.Command{
		Use:     "supplier [NAME --delivery AMOUNT]",
		Short:   "Say what a supplier's delivery costs, or list the suppliers",
		Example: "  brushfall pack supplier \"Reed & Co\" --delivery 4.90\n  brushfall pack supplier",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withNewBook(cmd.Context(), path, func(b shop.Book) error {
				if len(args) == 1 {
					amount, err := shop.ParseMoney(delivery)
					if err != nil {
						return at("--delivery", err)
					}
					if err := b.SetSupplier(cmd.Context(), shop.Supplier{Name: args[0], Delivery: amount}); err != nil {
						return err
					}
				}
				all, err := b.Suppliers(cmd.Context())
				if err != nil {
					return err
				}
				rows := []supplierRow{}
				for _, s := range all {
					rows = append(rows, supplierRow{s.Name, s.Delivery.String()})
				}
				return a.say(rows, func(w *bytes.Buffer) {
					for _, s := range all {
						fmt.Fprintf(w, "%s: delivery %s an order\n", s.Name, s.Delivery.StringFixed(moneyShown))
					}
				})
			})
		},
	}
	cmd.Flags().StringVar(&delivery, "delivery", "", "what an order costs beyond its packs: an `AMOUNT`")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

type supplierRow struct {
	Supplier string `json:"supplier"`
	Delivery string `json:"delivery"`
}
