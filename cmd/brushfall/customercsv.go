package main

import (
	"bytes"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// customersRead is what an import of customers tells.
type customersRead struct {
	File   string        `json:"file"`
	DryRun bool          `json:"dry_run"`
	Rows   int           `json:"rows"`
	Added  []customerRow `json:"added"`
	Bad    []badRow      `json:"bad"`
}

func (a *app) customerImportCommand() *cobra.Command {
	var path string
	var dry bool
	cmd := &cobra.Command{
		Use:     "import FILE.csv",
		Short:   "Add the customers of a table",
		Long:    "Add the customers of a table, all of them or, where a row is wrong, none. Every\nwrong row is told. The columns are name and, as you like, email, phone, address,\nnote; docs/formats/jobs.md explains them. --dry-run only looks.",
		Example: "  brushfall customer import crew.csv --dry-run\n  brushfall customer import crew.csv",
		Args:    oneArgument("the table to read, a CSV file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := readFile(args[0])
			if err != nil {
				return err
			}
			good, bad, err := shop.ReadCustomers(bytes.NewReader(text))
			if err != nil {
				return within(args[0], err)
			}
			out := customersRead{File: args[0], DryRun: dry, Rows: len(good) + len(bad), Added: []customerRow{}, Bad: []badRow{}}
			if out.Rows == 0 {
				return fault.New("csv-head", args[0], "there is no row below the head")
			}
			if len(bad) > 0 {
				out.Bad = a.tellRows(args[0], bad)
				return a.refuseTable(out, out.File, len(bad), out.Rows)
			}
			if dry {
				return a.say(out, func(w *bytes.Buffer) {
					fmt.Fprintf(w, "%s: all rows are good, nothing was added: %s\n", args[0], many(out.Rows, "customer"))
				})
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				added, err := b.AddCustomers(cmd.Context(), time.Now(), good)
				if err != nil {
					return err
				}
				for _, c := range added {
					out.Added = append(out.Added, customerRowOf(c))
				}
				return a.say(out, func(w *bytes.Buffer) { fmt.Fprintf(w, "%s: added %s\n", args[0], many(out.Rows, "customer")) })
			})
		},
		ValidArgsFunction: filesOf("csv"),
	}
	cmd.Flags().BoolVar(&dry, "dry-run", false, "only look, and tell what is wrong")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) customerExportCommand() *cobra.Command {
	var path, to string
	cmd := &cobra.Command{
		Use:     "export",
		Short:   "Write the customers as a table",
		Long:    "Write the customers as a CSV table. The file holds names and how to reach them:\nkeep it as you keep the book.",
		Example: "  brushfall customer export -o crew.csv",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				all, err := b.Customers(cmd.Context(), "")
				if err != nil {
					return err
				}
				var text bytes.Buffer
				if err := shop.WriteCustomers(&text, all); err != nil {
					return err
				}
				return a.export(to, text.Bytes(), "the customers")
			})
		},
	}
	cmd.Flags().StringVarP(&to, "out", "o", "", "`FILE` to write (default: stdout)")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
