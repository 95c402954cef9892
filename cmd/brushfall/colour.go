package main

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

func (a *app) colourAddCommand() *cobra.Command {
	var path, finish string
	c := shop.Colour{}
	cmd := &cobra.Command{
		Use:     "colour NAME --shown \"#rrggbb\"",
		Short:   "Add a colour of stones, or change one",
		Long:    "Add a colour of stones that the shop has, or change the one of that name: its finish,\nhow it is shown on a screen, and the sizes it comes in.",
		Example: "  brushfall catalogue colour \"harbour blue\" --shown \"#27567f\" --finish ab --sizes SS6,SS10",
		Args:    oneArgument("the colour"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c.Name, c.Finish = args[0], catalogue.Finish(strings.ToLower(finish))
			c, err := c.Check() // before a book is begun for it
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				return a.setColour(cmd.Context(), b, c, "is in the catalogue")
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&c.Shown, "shown", "", "how a screen shows it, `\"#rrggbb\"`")
	fs.StringVar(&finish, "finish", string(catalogue.Clear), "`FINISH`: clear, ab, opaque, opal or metal")
	fs.StringSliceVar(&c.Sizes, "sizes", nil, "`SIZES` it comes in, such as SS6,SS10 (default: all)")
	fs.StringVar(&c.Source, "source", "", "where it is from, a `TEXT`")
	a.bookFlag(fs, &path)
	return cmd
}

func (a *app) setColour(ctx context.Context, b *store.Book, c shop.Colour, did string) error {
	if err := b.SetColour(ctx, c); err != nil {
		return err
	}
	row := colourRow{c.Name, string(c.Finish), c.Shown, append([]string{}, c.Sizes...), true, c.Retired, c.Source}
	return a.say(row, func(w *bytes.Buffer) { fmt.Fprintf(w, "%s %s\n", c.Name, did) })
}

func (a *app) catalogueRetireCommand() *cobra.Command {
	var path string
	var back bool
	cmd := &cobra.Command{
		Use:     "retire flock|tape|film|blank|colour NAME",
		Short:   "Mark goods or a colour that the shop has no more of",
		Long:    "Mark goods or a colour that the shop buys no more. What is in stock stays, and so do\nthe jobs that have it. --back takes the mark away.",
		Example: "  brushfall catalogue retire blank \"hoodie xxl\"\n  brushfall catalogue retire colour \"harbour blue\" --back",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fault.New("usage", "", "name the class and the goods, such as brushfall catalogue retire blank bow")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			class, name := strings.ToLower(args[0]), strings.ToLower(strings.Join(strings.Fields(args[1]), " "))
			did := "is retired"
			if back {
				did = "is back in the catalogue"
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				if class == "colour" {
					return a.retireColour(cmd.Context(), b, name, back, did)
				}
				goods, err := b.Goods(cmd.Context())
				if err != nil {
					return err
				}
				for _, g := range goods {
					if g.Class == class && g.Name == name {
						g.Retired, g.Usual = !back, g.Usual && back
						return a.setGoods(cmd.Context(), b, g, did)
					}
				}
				return shop.KnownGoods(goods, shop.Kind{Size: class, Colour: name})
			})
		},
	}
	cmd.Flags().BoolVar(&back, "back", false, "the shop has it again")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) retireColour(ctx context.Context, b *store.Book, name string, back bool, did string) error {
	colours, err := b.Colours(ctx)
	if err != nil {
		return err
	}
	for _, c := range colours {
		if c.Name == name {
			c.Retired = !back
			return a.setColour(ctx, b, c, did)
		}
	}
	_, err = catalogue.FindColour(name)
	return err
}
