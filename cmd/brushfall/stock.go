package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

const stockHelp = `The stock is a ledger that is only added to: stones are received, used, spoiled,
counted and moved, and what is on hand is the sum. A mistake is put right by a
count, never by changing what stands there.`

func (a *app) stockCommand() *cobra.Command {
	cmd := group("stock", "Keep the stock of stones: receive, use, count, weigh, list", stockHelp+"\n\n"+bookHelp)
	cmd.AddCommand(
		a.receiveCommand(), a.stockListCommand(),
		a.changeCommand(shop.Used, "use", "Book stones that went into transfers", "  brushfall stock use --size SS10 --colour crystal --pieces 1240 --note \"Herons, 30 badges\""),
		a.changeCommand(shop.Spoiled, "spoil", "Book stones that are chipped or lost", "  brushfall stock spoil --size SS6 --colour jet --pieces 25"),
		a.changeCommand(shop.Counted, "count", "Put the ledger right by a count", "  brushfall stock count --size SS10 --colour crystal --pieces 980\n  brushfall stock count --size SS10 --colour crystal --lot 3 --pieces 1512   a pack by weight, before it is used"),
		a.changeCommand(shop.Moved, "move", "Book stones that went to another place", "  brushfall stock move --size SS10 --colour crystal --pieces 300 --to market"),
		a.weighCommand(), a.historyCommand(), a.importCommand(), a.exportCommand(),
	)
	return cmd
}

// booked is what a deed tells.
type booked struct {
	Deed    int64     `json:"deed"`
	What    string    `json:"what"`
	At      time.Time `json:"at"`
	Size    string    `json:"size"`
	Colour  string    `json:"colour"`
	Pieces  int       `json:"pieces"`
	Place   string    `json:"place"`
	Towards string    `json:"towards,omitempty"`
	Note    string    `json:"note,omitempty"`
	Lots    []partRow `json:"lots"`
	OnHand  *int      `json:"on_hand,omitempty"`
}

type partRow struct {
	Lot    int64  `json:"lot"`
	Place  string `json:"place"`
	Pieces int    `json:"pieces"`
}

func bookedOf(d shop.Deed) booked {
	b := booked{Deed: d.ID, What: string(d.What), At: d.At, Size: d.Kind.Size, Colour: d.Kind.Colour, Pieces: d.Pieces, Place: d.Place, Towards: d.Towards, Note: d.Note, Lots: []partRow{}}
	for _, p := range d.Parts {
		b.Lots = append(b.Lots, partRow(p))
	}
	return b
}

// reportDeed prints a deed with what is on hand after it.
func (a *app) reportDeed(ctx context.Context, b shop.Book, d shop.Deed) error {
	stock, err := b.Stock(ctx)
	if err != nil {
		return err
	}
	row, left := bookedOf(d), 0
	for _, h := range stock {
		if h.Kind == d.Kind {
			left = h.Pieces()
		}
	}
	row.OnHand = &left
	return a.say(row, func(w *bytes.Buffer) {
		what := strconv.Itoa(d.Pieces)
		if d.Kind.Stone() {
			what = many(d.Pieces, "stone")
		}
		fmt.Fprintf(w, "%s: %s %s; %d on hand now\n", d.Kind, what, d.What, left)
		if d.What == shop.Counted {
			for _, p := range d.Parts {
				fmt.Fprintf(w, "  lot %d at %s: %+d\n", p.Lot, p.Place, p.Pieces)
			}
		}
	})
}

func (a *app) receiveCommand() *cobra.Command {
	var path, cost string
	var kind kindFlags
	var n office.HowMany
	var r shop.Receipt
	cmd := &cobra.Command{
		Use:   "receive --size SIZE --colour NAME (--pieces N | --gross N | --grams G) --cost AMOUNT",
		Short: "Book stones that came in",
		Long: `Book stones that came in, as a lot of their own with what it cost.

--gross 10 is 1,440 pieces. A pack that was filled by weight runs over; with
--by-weight it is booked with the shop's own overrun, learned from counts, and until
there are any with that of the trade (about 1,500 in a pack of 1,440, common practice).
--grams are turned into pieces by the shop's own weighings, or the catalogue's mass.`,
		Example: "  brushfall stock receive --size SS10 --colour crystal --gross 10 --cost 6.50 --supplier \"Reed & Co\"\n  brushfall stock receive --size SS10 --colour crystal --grams 30 --cost 9",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			k, err := kind.kind(cmd.Context(), path)
			if err != nil {
				return err
			}
			if cost == "" {
				return fault.New("usage", "--cost", "say what the lot cost: add --cost 6.50, or --cost 0 for a gift")
			}
			amount, err := shop.ParseMoney(cost)
			if err != nil {
				return at("--cost", err)
			}
			if err := n.Check(); err != nil {
				return err
			}
			return withNewBook(cmd.Context(), path, func(b shop.Book) error {
				got, err := n.Receipt(cmd.Context(), b, k)
				if err != nil {
					return err
				}
				got.Cost, got.Place, got.Supplier, got.Note = &amount, r.Place, r.Supplier, r.Note
				deeds, err := b.Receive(cmd.Context(), time.Now(), []shop.Receipt{got})
				if err != nil {
					return err
				}
				return a.reportDeed(cmd.Context(), b, deeds[0])
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	kind.add(cmd)
	fs.IntVar(&n.Pieces, "pieces", 0, "how many stones: a `NUMBER`")
	fs.Float64Var(&n.Gross, "gross", 0, "how many gross of 144: a `NUMBER`")
	fs.Float64Var(&n.Grams, "grams", 0, "how many grams: a `NUMBER`")
	fs.BoolVar(&n.ByWeight, "by-weight", false, "the pack was filled by weight, and runs over")
	fs.StringVar(&cost, "cost", "", "what the whole lot cost: an `AMOUNT` such as 6.50")
	fs.StringVar(&r.Supplier, "supplier", "", "who sold it: a `NAME`")
	fs.StringVar(&r.Place, "place", "", "`PLACE` it is put at (default shelf)")
	fs.StringVar(&r.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(fs, &path)
	return cmd
}

// changeCommand is the command of one deed on stones that are there.
func (a *app) changeCommand(what shop.What, name, short, example string) *cobra.Command {
	var path string
	var kind kindFlags
	c := shop.Change{What: what}
	cmd := &cobra.Command{
		Use:     name + " --size SIZE --colour NAME --pieces N",
		Short:   short,
		Long:    short + ".\n\nThe oldest stones go first, unless --lot names a lot.",
		Example: example,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if c.Kind, err = kind.kind(cmd.Context(), path); err != nil {
				return err
			}
			if !cmd.Flags().Changed("pieces") {
				return fault.New("usage", "--pieces", "say how many: add --pieces and a number")
			}
			if what == shop.Moved && c.Towards == "" {
				return fault.New("usage", "--to", "say where to: add --to and a place, such as --to market")
			}
			open := withBook
			if what == shop.Counted {
				open = withNewBook // a first count may begin a book
			}
			return open(cmd.Context(), path, func(b shop.Book) error {
				d, err := b.Change(cmd.Context(), time.Now(), c)
				if err != nil {
					return err
				}
				return a.reportDeed(cmd.Context(), b, d)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	kind.add(cmd)
	fs.IntVar(&c.Pieces, "pieces", 0, "how many stones: a `NUMBER`")
	if what == shop.Moved {
		fs.StringVar(&c.Place, "from", "", "`PLACE` they come from (default shelf)")
		fs.StringVar(&c.Towards, "to", "", "`PLACE` they go to")
	} else {
		fs.StringVar(&c.Place, "place", "", "`PLACE` they are at (default shelf)")
	}
	fs.Int64Var(&c.Lot, "lot", 0, "`NUMBER` of the lot (default: the oldest first)")
	fs.StringVar(&c.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(fs, &path)
	return cmd
}

// mostHistory bounds what history prints.
const mostHistory = 100_000

func (a *app) historyCommand() *cobra.Command {
	var path string
	var most int
	cmd := &cobra.Command{
		Use:   "history",
		Short: "List what was booked, newest first",
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if most < 1 || most > mostHistory {
				return fault.New("usage", "--most", "%d deeds cannot be listed; give 1 to %d", most, mostHistory)
			}
			return withBook(cmd.Context(), path, func(b shop.Book) error {
				deeds, err := b.History(cmd.Context(), most)
				if err != nil {
					return err
				}
				rows := []booked{}
				for _, d := range deeds {
					rows = append(rows, bookedOf(d))
				}
				return a.say(rows, func(w *bytes.Buffer) { historyTable(w, rows) })
			})
		},
	}
	cmd.Flags().IntVar(&most, "most", 20, "how many deeds at most: a `NUMBER`")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func historyTable(w io.Writer, rows []booked) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		where := r.Place
		if r.Towards != "" {
			where += " to " + r.Towards
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s %s\t%s\t%s\n", strconv.FormatInt(r.Deed, 10), r.At.Local().Format("2006-01-02 15:04"), r.What, strconv.Itoa(r.Pieces), r.Size+" "+r.Colour, where, r.Note)
	}
	t.Flush()
}
