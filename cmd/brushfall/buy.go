package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"brushfall/internal/count"
	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

const buyHelp = `Say what to buy for what you want to make: whole packs at the least cost over
suppliers, packs, price breaks and deliveries, less the stones on hand, with what will be
left over.

What is wanted comes from --want, from the folders of designs or their layout.json or
counts.csv, with the spare stones counted in (badge=12 for twelve transfers), from all
that promised jobs take (--jobs), or from several of these. The packs are those of brushfall pack add; a kind without one is bought as it
last was. Of packs filled by weight the poorest fill that you have counted is
planned with, and the label until then.`

func (a *app) buyCommand() *cobra.Command {
	var path string
	var typed []string
	var forJobs bool
	cmd := &cobra.Command{
		Use:     "buy [FOLDER|layout.json|counts.csv[=TRANSFERS]]... [--want \"SS10 crystal 3000\"]... [--jobs]",
		Short:   "Say what to buy at the least cost, less what is on hand",
		Long:    buyHelp + "\n\n" + bookHelp,
		Example: "  brushfall buy badge=12\n  brushfall buy --want \"SS10 crystal 3000\" --want \"SS6 light sapphire 500\"\n  brushfall buy badge=12 crest/counts.csv --json\n  brushfall buy --jobs",
		RunE: func(cmd *cobra.Command, args []string) error {
			wants, err := wantsOf(cmd.Context(), path, args, typed, forJobs)
			if err != nil {
				return err
			}
			list, err := buyList(cmd.Context(), path, wants)
			if err != nil {
				return err
			}
			out := office.Answer(list)
			return a.say(out, func(w *bytes.Buffer) { buyText(w, out) })
		},
		ValidArgsFunction: filesOf("json", "csv"),
	}
	cmd.Flags().StringArrayVar(&typed, "want", nil, "a kind and how many pieces, `\"SIZE COLOUR PIECES\"`")
	cmd.Flags().BoolVar(&forJobs, "jobs", false, "all that the promised jobs take")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// wantsOf gathers what is wanted from designs, from --want and from promised jobs.
func wantsOf(ctx context.Context, path string, designs, typed []string, forJobs bool) ([]shop.Want, error) {
	if len(designs)+len(typed) == 0 && !forJobs {
		return nil, fault.New("usage", "", "say what is wanted: name the folder of a design, add --want \"SS10 crystal 3000\", or --jobs")
	}
	find := func(size, colour string) (shop.Kind, error) { return findKind(ctx, path, size, colour) }
	var wants []shop.Want
	for _, d := range designs {
		of, err := designWants(d, find)
		if err != nil {
			return nil, err
		}
		wants = append(wants, of...)
	}
	for _, text := range typed {
		w, err := parseWant(text, find)
		if err != nil {
			return nil, at("--want", err)
		}
		wants = append(wants, w)
	}
	if !forJobs {
		return wants, nil
	}
	return wants, withStore(ctx, path, store.Open, func(b *store.Book) error {
		shortages, err := b.Shortages(ctx)
		wants = append(wants, shop.Wants(shortages)...)
		return err
	})
}

// parseWant reads "SS10 light sapphire 3000".
func parseWant(text string, find func(size, colour string) (shop.Kind, error)) (shop.Want, error) {
	words := strings.Fields(text)
	if len(words) < 3 {
		return shop.Want{}, fault.New("buy-want", "", "%q is no want; write size, colour and pieces, such as \"SS10 crystal 3000\"", text)
	}
	last := len(words) - 1
	n, err := strconv.Atoi(words[last])
	if err != nil || n < 1 || n > shop.MostPieces {
		return shop.Want{}, fault.New("buy-want", "", "%q is no number of pieces; write size, colour and pieces, such as \"SS10 crystal 3000\"", words[last])
	}
	kind, err := find(words[0], strings.Join(words[1:last], " "))
	return shop.Want{Kind: kind, Pieces: n}, err
}

// designWants gives the stones of so many transfers of a design, spare ones
// included.
func designWants(arg string, find func(size, colour string) (shop.Kind, error)) ([]shop.Want, error) {
	path, transfers := arg, 1
	if i := strings.LastIndex(arg, "="); i > 0 && !exists(arg) {
		n, err := strconv.Atoi(arg[i+1:])
		if err != nil || n < 1 || n > shop.MostPieces {
			return nil, fault.New("buy-want", arg, "%q is no number of transfers; write it after the name, such as badge=12", arg[i+1:])
		}
		path, transfers = arg[:i], n
	}
	lines, err := linesOf(path)
	if err != nil {
		return nil, err
	}
	var wants []shop.Want
	for _, l := range lines {
		kind, err := find(l.Size, l.Colour)
		if err != nil {
			return nil, at(path, err)
		}
		if l.Take > shop.MostPieces/transfers {
			return nil, fault.New("buy-want", arg, "that is more than %d pieces of %s", shop.MostPieces, kind)
		}
		wants = append(wants, shop.Want{Kind: kind, Pieces: l.Take * transfers})
	}
	return wants, nil
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// linesOf reads the stones of one transfer.
func linesOf(path string) ([]count.Line, error) {
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		text, err := readFile(path)
		if err != nil {
			return nil, err
		}
		lines, err := count.ReadCSV(bytes.NewReader(text))
		return lines, within(path, err)
	}
	doc, err := readLayout(path)
	if err != nil {
		return nil, err
	}
	lines, err := count.Tally(doc.Stones, doc.Kinds, count.DefaultSpare)
	return lines, within(path, err)
}

// buyList asks the book and searches. Without a book nothing is on hand and no
// pack is known, which is an answer too; a book that was named must be there.
func buyList(ctx context.Context, path string, wants []shop.Want) (shop.List, error) {
	b, err := store.Open(ctx, bookPath(path))
	switch {
	case path == "" && fault.CodeOf(err) == "book-missing":
		return shop.Buy(wants, map[shop.Kind]int{}, shop.Market{Overrun: shop.Learn(nil)})
	case err != nil:
		return shop.List{}, err
	}
	list, err := office.Buy(ctx, b, wants)
	return list, errors.Join(err, b.Close())
}

// buyText tells a person what to buy.
func buyText(w io.Writer, o office.BuyAnswer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "size\tcolour\twanted\ton hand\tto buy\tleft over")
	for _, n := range o.Needs {
		left := strconv.Itoa(n.Leftover)
		if n.Unpriced > 0 {
			left = "?"
		}
		fmt.Fprintf(t, "%s\t%s\t%d\t%d\t%s\t%s\n", n.Size, n.Colour, n.Wanted, n.OnHand, packsText(n), left)
	}
	t.Flush()
	fmt.Fprintln(w)
	for _, s := range o.From {
		if s.Supplier != "" {
			fmt.Fprintf(w, "Order from %s, delivery %s\n", s.Supplier, s.Delivery)
		}
	}
	fmt.Fprintf(w, "Packs %s, delivery %s, together %s\n", o.Goods, o.Delivery, o.Total)
	for _, n := range o.Needs {
		if n.Unpriced > 0 {
			fmt.Fprintf(w, "No price is known for %s %s: brushfall pack add\n", n.Size, n.Colour)
		}
	}
}

// packsText puts what is bought of a kind into words.
func packsText(n office.NeedRow) string {
	if n.Short == 0 {
		return "nothing"
	}
	if n.Unpriced > 0 {
		if pack := (shop.Kind{Size: n.Size, Colour: n.Colour}).UsualPack(); pack > 1 {
			return fmt.Sprintf("%s of %d, price not known", many(n.Unpriced, "pack"), pack)
		}
		return strconv.Itoa(n.Unpriced) + ", price not known"
	}
	var parts []string
	for _, p := range n.Purchases {
		text := fmt.Sprintf("%d × %d at %s", p.Packs, p.Labelled, p.Price)
		switch {
		case p.AsLast:
			text += " as last bought"
		case p.Supplier != "":
			text += " from " + p.Supplier
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, " + ")
}
