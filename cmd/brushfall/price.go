package main

import (
	"bytes"
	"context"
	"fmt"
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

const priceHelp = `Prices are made of what stones and materials cost, of your time, and of what you want
to earn. Set what you know; what you do not set stands at a default that says where it
comes from. Nothing is forgotten: an old quote keeps what it was made with.

docs/pricing.md has the formulas, with worked examples.`

func (a *app) priceCommand() *cobra.Command {
	cmd := group("price", "Say what prices are made of, and keep the price list", priceHelp+"\n\n"+bookHelp)
	cmd.AddCommand(a.priceSetCommand(), a.priceTimeCommand(), a.priceShowCommand(), a.priceListCommand(), a.priceImportCommand(), a.priceExportCommand(), a.pricePrintCommand())
	return cmd
}

func settingTable(w *bytes.Buffer, rows []office.SettingRow) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		value := "-"
		if r.Value != nil && *r.Value != "" {
			value = *r.Value
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t(%s)\t%s\n", r.Name, value, r.Unit, r.Source, r.About)
	}
	t.Flush()
}

// setBack is the value that goes back to the default.
const setBack = "default"

func (a *app) priceSetCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "set NAME=VALUE...",
		Short:   "Set what prices are made of",
		Long:    "Set what prices are made of; brushfall price show lists the names. NAME=default goes\nback to the default. Earlier values are kept.",
		Example: "  brushfall price set labour=18 flock=6.50 tape=0.80 currency=EUR\n  brushfall price set \"target=markup 60%\" \"rounding=up x.99\" \"card=1.9% + 0.25\" \"tax=20% contained\"\n  brushfall price set \"breaks=12:5%, 50:10%\" brush=default",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			var rates []shop.Rate
			for _, arg := range args {
				name, value, ok := strings.Cut(arg, "=")
				if value = strings.TrimSpace(value); !ok || value == "" {
					return fault.New("usage", arg, "write NAME=VALUE, such as labour=18; quote a value with blanks or %%")
				}
				if value == setBack {
					value = ""
				}
				r, err := shop.Rate{Name: name, Value: value}.Check()
				if err != nil {
					return err
				}
				rates = append(rates, r)
			}
			return a.keepRates(cmd.Context(), path, rates)
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// keepRates books rates that fit those that hold already, and tells how they stand.
func (a *app) keepRates(ctx context.Context, path string, rates []shop.Rate) error {
	return withStore(ctx, path, store.Create, func(b *store.Book) error {
		if err := office.SetRates(ctx, b, time.Now(), rates); err != nil {
			return err
		}
		all, err := b.Rates(ctx)
		if err != nil {
			return err
		}
		s, err := price.Read(shop.InForce(all))
		if err != nil {
			return err
		}
		rows := []office.SettingRow{}
		for _, r := range office.SettingRows(s) {
			for _, set := range rates {
				if set.Name == r.Name {
					rows = append(rows, r)
					break
				}
			}
		}
		return a.say(rows, func(w *bytes.Buffer) { settingTable(w, rows) })
	})
}

func (a *app) priceTimeCommand() *cobra.Command {
	var path string
	var times int
	cmd := &cobra.Command{
		Use:     "time WORK SECONDS",
		Short:   "Book how long a work took; the mean of your timings is used",
		Long:    "Book how long a work took, so many times (plates, hundreds of stones, pieces: price show\nhas the unit of each). From then on prices use the mean of your timings, until you set\nthe work with price set.",
		Example: "  brushfall price time brush 95 --times 4\n  brushfall price time press 52",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fault.New("usage", "", "name the work and the seconds it took: %s", cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if times < 1 {
				return fault.New("usage", "--times", "%d times cannot be timed; give 1 or more", times)
			}
			r, err := shop.Rate{Name: args[0], Value: args[1], Times: times}.Check()
			if err != nil {
				return err
			}
			return a.keepRates(cmd.Context(), path, []shop.Rate{r})
		},
	}
	cmd.Flags().IntVar(&times, "times", 1, "how many of its unit were timed together: a `NUMBER`")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// rateRow is a change or a timing of the history.
type rateRow struct {
	At    time.Time `json:"at"`
	Name  string    `json:"name"`
	Value string    `json:"value"`
	Times int       `json:"times,omitempty"`
}

func (a *app) priceShowCommand() *cobra.Command {
	var path string
	var history bool
	cmd := &cobra.Command{
		Use:     "show",
		Short:   "Show what prices are made of, and where each figure comes from",
		Example: "  brushfall price show\n  brushfall price show --history",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				rates, err := b.Rates(cmd.Context())
				if err != nil {
					return err
				}
				if history {
					return a.rateHistory(rates)
				}
				p, err := office.NewPricing(cmd.Context(), b, nil)
				if err != nil {
					return err
				}
				rows := office.SettingRows(p.Settings)
				return a.say(rows, func(w *bytes.Buffer) { settingTable(w, rows) })
			})
		},
	}
	cmd.Flags().BoolVar(&history, "history", false, "show all that was ever set and timed")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) rateHistory(rates []shop.Rate) error {
	rows := []rateRow{}
	for _, r := range rates {
		rows = append(rows, rateRow(r))
	}
	return a.say(rows, func(w *bytes.Buffer) {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, r := range rows {
			value := r.Value
			switch {
			case r.Times > 0:
				value = fmt.Sprintf("%s s for %d", strings.TrimSuffix(r.Value, "s"), r.Times)
			case value == "":
				value = "back to the default"
			}
			fmt.Fprintf(t, "%s\t%s\t%s\n", r.At.Local().Format("2006-01-02 15:04"), r.Name, value)
		}
		t.Flush()
	})
}
