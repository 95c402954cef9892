package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
	"brushfall/internal/unit"
)

const catalogueHelp = `What the shop works with: the sizes of stones; their colours; and goods, which are flock,
tape and film in sheets and the blanks that transfers are pressed on, with the box that
can hold a design. Built-in rows are there from the beginning; the shop's own stand
beside them, or in the place of those of the same name.

Goods are stock as stones are: --size is their class and --colour their name, as in
brushfall stock receive --size flock --colour "sheet 12 x 20 in" --pieces 10 --cost 32.`

func (a *app) catalogueCommand() *cobra.Command {
	cmd := group("catalogue", "Keep the colours, sheets and blanks that the shop works with", catalogueHelp+"\n\n"+bookHelp)
	cmd.AddCommand(a.catalogueListCommand(), a.goodsAddCommand(), a.colourAddCommand(), a.catalogueRetireCommand())
	return cmd
}

// catalogueRows is the whole catalogue for a machine.
type catalogueRows struct {
	Sizes   []sizeRow   `json:"sizes"`
	Colours []colourRow `json:"colours"`
	Goods   []goodsRow  `json:"goods"`
}

type sizeRow struct {
	Size           string  `json:"size"`
	Smallest       float64 `json:"smallest"`
	Largest        float64 `json:"largest"`
	Hole           float64 `json:"hole"`
	Mass           float64 `json:"grams"`
	DiameterSource string  `json:"diameter_source"`
	HoleSource     string  `json:"hole_source"`
}

type colourRow struct {
	Colour  string   `json:"colour"`
	Finish  string   `json:"finish"`
	Shown   string   `json:"shown"`
	Sizes   []string `json:"sizes"`
	Own     bool     `json:"own"`
	Retired bool     `json:"retired"`
	Source  string   `json:"source"`
}

type goodsRow struct {
	Class   string  `json:"class"`
	Name    string  `json:"name"`
	Width   float64 `json:"width"`
	Height  float64 `json:"height"`
	Cost    *string `json:"cost"`
	OnHand  int     `json:"on_hand"`
	Value   *string `json:"value"`
	Usual   bool    `json:"usual"`
	Own     bool    `json:"own"`
	Retired bool    `json:"retired"`
	Source  string  `json:"source"`
}

// shownCatalogue is readCatalogue, and without a book the built-in rows.
func shownCatalogue(ctx context.Context, path string) (out catalogueRows, err error) {
	err = withStore(ctx, path, store.Open, func(b *store.Book) error {
		out, err = readCatalogue(ctx, b)
		return err
	})
	if path == "" && fault.CodeOf(err) == "book-missing" {
		return catalogueOf(shop.BuiltInColours(), shop.BuiltInGoods(), nil), nil
	}
	return out, err
}

// readCatalogue gathers the catalogue with what is on hand of the goods.
func readCatalogue(ctx context.Context, b *store.Book) (catalogueRows, error) {
	colours, err := b.Colours(ctx)
	if err != nil {
		return catalogueRows{}, err
	}
	goods, err := b.Goods(ctx)
	if err != nil {
		return catalogueRows{}, err
	}
	stock, err := b.Stock(ctx)
	return catalogueOf(colours, goods, stock), err
}

func catalogueOf(colours []shop.Colour, goods []shop.Goods, stock []shop.Holding) catalogueRows {
	out := catalogueRows{[]sizeRow{}, []colourRow{}, []goodsRow{}}
	for _, s := range catalogue.Sizes() {
		out.Sizes = append(out.Sizes, sizeRow{s.Name, s.Smallest, s.Largest, s.Hole, s.Mass, s.DiameterSource, s.HoleSource})
	}
	for _, c := range colours {
		out.Colours = append(out.Colours, colourRow{c.Name, string(c.Finish), c.Shown, append([]string{}, c.Sizes...), c.Own, c.Retired, c.Source})
	}
	usual := shop.UsualOf(goods)
	for _, g := range goods {
		row := goodsRow{Class: g.Class, Name: g.Name, Width: g.Width, Height: g.Height, Usual: usual[g.Class] == g.Name, Own: g.Own, Retired: g.Retired, Source: g.Source}
		if g.Cost != nil {
			row.Cost = shown(*g.Cost, true)
		}
		for _, h := range stock {
			if h.Kind == g.Kind() {
				row.OnHand, row.Value = h.Pieces(), shown(h.Value())
			}
		}
		out.Goods = append(out.Goods, row)
	}
	return out
}

func (a *app) catalogueListCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:       "list [sizes|colours|goods]...",
		Short:     "List what the shop works with, and where each figure is from",
		Example:   "  brushfall catalogue list goods\n  brushfall catalogue list --json",
		ValidArgs: []string{"sizes", "colours", "goods"},
		RunE: func(cmd *cobra.Command, args []string) error {
			for _, arg := range args {
				if !slices.Contains(cmd.ValidArgs, cobra.Completion(arg)) {
					return fault.New("usage", "", "%q is no part of the catalogue; name sizes, colours or goods", arg)
				}
			}
			rows, err := shownCatalogue(cmd.Context(), path)
			if err != nil {
				return err
			}
			wants := func(part string) bool { return len(args) == 0 || slices.Contains(args, part) }
			return a.say(rows, func(w *bytes.Buffer) {
				if wants("sizes") {
					sizeTable(w, rows.Sizes)
				}
				if wants("colours") {
					colourTable(w, rows.Colours)
				}
				if wants("goods") {
					goodsTable(w, rows.Goods)
				}
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func sizeTable(w io.Writer, rows []sizeRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "size\tmm\thole\tsource")
	for _, r := range rows {
		fmt.Fprintf(t, "%s\t%.1f to %.1f\t%.1f\t%s\n", r.Size, r.Smallest, r.Largest, r.Hole, r.DiameterSource)
	}
	t.Flush()
	fmt.Fprintln(w)
}

func colourTable(w io.Writer, rows []colourRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "colour\tfinish\tshown\tsizes\t")
	for _, r := range rows {
		sizes := "all"
		if len(r.Sizes) > 0 {
			sizes = strings.Join(r.Sizes, " ")
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", r.Colour, r.Finish, r.Shown, sizes, marks(r.Own, false, r.Retired))
	}
	t.Flush()
	fmt.Fprintln(w)
}

// marks puts what is special of a row into words.
func marks(own, usual, retired bool) string {
	var words []string
	for word, on := range map[string]bool{"own": own, "usual": usual, "retired": retired} {
		if on {
			words = append(words, word)
		}
	}
	slices.Sort(words)
	return strings.Join(words, ", ")
}

func goodsTable(w io.Writer, rows []goodsRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "goods\tname\tbox in mm\tcost\ton hand\tvalue\t")
	for _, r := range rows {
		box := "not known"
		if r.Width > 0 && r.Height > 0 {
			box = fmt.Sprintf("%.1f × %.1f", r.Width, r.Height)
		}
		cost, value := "", ""
		if r.Cost != nil {
			cost = *r.Cost
		}
		if r.OnHand > 0 {
			value = orUnknown(r.Value)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d\t%s\t%s\n", r.Class, r.Name, box, cost, r.OnHand, value, marks(r.Own, r.Usual, r.Retired))
	}
	t.Flush()
}

func (a *app) goodsAddCommand() *cobra.Command {
	var path, width, height, cost string
	var g shop.Goods
	cmd := &cobra.Command{
		Use:     "add flock|tape|film|blank NAME",
		Short:   "Add a material or a blank, or change one",
		Long:    "Add a material or a blank, or change the one of that name. The sides of a sheet, or\nthe printable box of a blank, are its --width and --height. --usual makes a material\nthe one that jobs take.",
		Example: "  brushfall catalogue add blank \"hoodie youth m\" --width 22cm --height 20cm --cost 11.50\n  brushfall catalogue add flock \"white 12 x 20 in\" --width 12in --height 20in --usual",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fault.New("usage", "", "name the class and the goods, such as brushfall catalogue add blank \"hoodie youth m\"")
			}
			return nil
		},
		ValidArgs: []string{"flock", "tape", "film", "blank"},
		RunE: func(cmd *cobra.Command, args []string) error {
			g.Class, g.Name = args[0], args[1]
			for _, side := range []struct {
				flag, text string
				to         *float64
			}{{"--width", width, &g.Width}, {"--height", height, &g.Height}} {
				if side.text == "" {
					continue
				}
				l, err := unit.ParseLength(side.text)
				if err != nil {
					return at(side.flag, err)
				}
				*side.to = l.MM()
			}
			if cost != "" {
				m, err := shop.ParseMoney(cost)
				if err != nil {
					return at("--cost", err)
				}
				g.Cost = &m
			}
			g, err := g.Check() // before a book is begun for it
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error { return a.setGoods(cmd.Context(), b, g, "is in the catalogue") })
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&width, "width", "", "a `LENGTH`, such as 12in")
	fs.StringVar(&height, "height", "", "a `LENGTH`, such as 20in")
	fs.StringVar(&cost, "cost", "", "what one costs where no lot says: an `AMOUNT`")
	fs.BoolVar(&g.Usual, "usual", false, "the one of its class that jobs take")
	fs.StringVar(&g.Source, "source", "", "where the figures are from, a `TEXT`")
	a.bookFlag(fs, &path)
	return cmd
}

// setGoods writes goods to the book and tells how they are now.
func (a *app) setGoods(ctx context.Context, b *store.Book, g shop.Goods, did string) error {
	if err := b.SetGoods(ctx, g); err != nil {
		return err
	}
	rows, err := readCatalogue(ctx, b)
	if err != nil {
		return err
	}
	for _, r := range rows.Goods {
		if r.Class == g.Class && r.Name == g.Name {
			return a.say(r, func(w *bytes.Buffer) { fmt.Fprintf(w, "%s %s\n", g.Kind(), did) })
		}
	}
	return nil
}
