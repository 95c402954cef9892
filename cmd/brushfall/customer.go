package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

func (a *app) customerCommand() *cobra.Command {
	cmd := group("customer", "Keep the customers: add, find, change, erase", "Keep who orders: a name, and as you like how to reach them and a note.\n\n"+bookHelp)
	cmd.AddCommand(a.customerAddCommand(), a.customerChangeCommand(), a.customerListCommand(), a.customerShowCommand(), a.customerEraseCommand(), a.customerImportCommand(), a.customerExportCommand())
	return cmd
}

// customerRow is a customer for a machine.
type customerRow struct {
	Customer int64      `json:"customer"`
	Name     string     `json:"name"`
	Email    string     `json:"email"`
	Phone    string     `json:"phone"`
	Address  string     `json:"address"`
	Note     string     `json:"note"`
	Added    time.Time  `json:"added"`
	Erased   *time.Time `json:"erased,omitempty"`
	Jobs     []jobRow   `json:"jobs,omitempty"`
}

func customerRowOf(c shop.Customer) customerRow {
	return customerRow{Customer: c.ID, Name: c.Called(), Email: c.Email, Phone: c.Phone, Address: c.Address, Note: c.Note, Added: c.Added, Erased: c.Erased}
}

func contactFlags(fs *pflag.FlagSet, c *shop.Customer) {
	fs.SortFlags = false
	fs.StringVar(&c.Email, "email", "", "e-mail `ADDRESS`")
	fs.StringVar(&c.Phone, "phone", "", "phone `NUMBER`")
	fs.StringVar(&c.Address, "address", "", "postal `ADDRESS`, in one line")
	fs.StringVar(&c.Note, "note", "", "a `TEXT` to remember; it goes when the customer is erased")
}

func (a *app) customerAddCommand() *cobra.Command {
	var path string
	var c shop.Customer
	cmd := &cobra.Command{
		Use:     "add NAME",
		Short:   "Add a customer",
		Example: "  brushfall customer add \"Saltmarsh Herons\" --email crew@herons.example --phone \"01632 960 123\"",
		Args:    oneArgument("the customer"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c.Name = args[0]
			c, err := c.Check() // before a book is begun for it
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				added, err := b.AddCustomers(cmd.Context(), time.Now(), []shop.Customer{c})
				if err != nil {
					return err
				}
				return a.say(customerRowOf(added[0]), func(w *bytes.Buffer) { fmt.Fprintf(w, "%s is customer %d\n", added[0].Name, added[0].ID) })
			})
		},
	}
	contactFlags(cmd.Flags(), &c)
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// numberOf reads the number of something in the book.
func numberOf(what, text string) (int64, error) {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil || id < 1 {
		return 0, fault.New("usage", "", "%q is no number of a %s; brushfall %s list has them", text, what, what)
	}
	return id, nil
}

// onCustomer runs a command on the customer of a number.
func onCustomer(ctx context.Context, path, number string, do func(b *store.Book, id int64) error) error {
	id, err := numberOf("customer", number)
	if err != nil {
		return err
	}
	return withStore(ctx, path, store.Open, func(b *store.Book) error { return do(b, id) })
}

func (a *app) customerChangeCommand() *cobra.Command {
	var path string
	var to shop.Customer
	cmd := &cobra.Command{
		Use:     "change NUMBER",
		Short:   "Change a customer's name, contact or note",
		Long:    "Change a customer's name, contact or note. What is not named stays; an empty text\ntakes away: --phone \"\".",
		Example: "  brushfall customer change 3 --phone \"01632 960 456\"",
		Args:    oneArgument("the number of the customer, as brushfall customer list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return onCustomer(cmd.Context(), path, args[0], func(b *store.Book, id int64) error {
				c, err := b.Customer(cmd.Context(), id)
				if err != nil {
					return err
				}
				for flag, text := range map[string]struct{ from, to *string }{"name": {&to.Name, &c.Name}, "email": {&to.Email, &c.Email}, "phone": {&to.Phone, &c.Phone}, "address": {&to.Address, &c.Address}, "note": {&to.Note, &c.Note}} {
					if cmd.Flags().Changed(flag) {
						*text.to = *text.from
					}
				}
				if err := b.ChangeCustomer(cmd.Context(), c); err != nil {
					return err
				}
				if c, err = b.Customer(cmd.Context(), id); err != nil {
					return err
				}
				row := customerRowOf(c)
				return a.say(row, func(w *bytes.Buffer) { row.text(w) })
			})
		},
	}
	cmd.Flags().StringVar(&to.Name, "name", "", "the `NAME`")
	contactFlags(cmd.Flags(), &to)
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) customerListCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "list [WORD]...",
		Short:   "List the customers, or those in whose entry every word stands",
		Example: "  brushfall customer list\n  brushfall customer list herons 01632",
		Args:    cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				all, err := b.Customers(cmd.Context(), strings.Join(args, " "))
				if err != nil {
					return err
				}
				rows := []customerRow{}
				for _, c := range all {
					rows = append(rows, customerRowOf(c))
				}
				return a.say(rows, func(w *bytes.Buffer) { customerTable(w, rows, len(args) > 0) })
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func customerTable(w io.Writer, rows []customerRow, searched bool) {
	switch {
	case len(rows) == 0 && searched:
		fmt.Fprintln(w, "No customer has these words")
	case len(rows) == 0:
		fmt.Fprintln(w, "No customers yet: brushfall customer add NAME")
	default:
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(t, "customer\tname\te-mail\tphone\tnote")
		for _, r := range rows {
			fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\n", r.Customer, r.Name, r.Email, r.Phone, r.Note)
		}
		t.Flush()
	}
}

func (r customerRow) text(w io.Writer) {
	fmt.Fprintf(w, "Customer %d: %s\n", r.Customer, r.Name)
	for _, line := range []struct{ what, text string }{{"e-mail", r.Email}, {"phone", r.Phone}, {"address", r.Address}, {"note", r.Note}} {
		if line.text != "" {
			fmt.Fprintf(w, "  %s: %s\n", line.what, line.text)
		}
	}
}

func (a *app) customerShowCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "show NUMBER",
		Short:   "Show a customer with all jobs",
		Example: "  brushfall customer show 3",
		Args:    oneArgument("the number of the customer, as brushfall customer list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return onCustomer(cmd.Context(), path, args[0], func(b *store.Book, id int64) error {
				c, err := b.Customer(cmd.Context(), id)
				if err != nil {
					return err
				}
				jobs, err := b.Jobs(cmd.Context(), shop.Which{Customer: id})
				if err != nil {
					return err
				}
				row := customerRowOf(c)
				for _, j := range jobs {
					row.Jobs = append(row.Jobs, jobRowOf(j))
				}
				return a.say(row, func(w *bytes.Buffer) {
					row.text(w)
					if len(row.Jobs) > 0 {
						fmt.Fprintln(w)
						jobTable(w, row.Jobs)
					}
				})
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) customerEraseCommand() *cobra.Command {
	var path string
	var yes bool
	cmd := &cobra.Command{
		Use:   "erase NUMBER --yes",
		Short: "Take a customer's name and contact out of the book for good",
		Long: `Take a customer's name, contact and note out of the book for good, and the notes of
all the customer's jobs. The bytes leave the file. Jobs, stock and sums stay: they
say "erased customer 12" from then on.

It reaches this book alone. Backups, exported tables and printed papers still have the
name, and so do notes that you gave to other things, such as brushfall stock use --note.`,
		Example: "  brushfall customer erase 12 --yes",
		Args:    oneArgument("the number of the customer, as brushfall customer list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return onCustomer(cmd.Context(), path, args[0], func(b *store.Book, id int64) error {
				if !yes {
					return fault.New("usage", "--yes", "this cannot be undone; look with brushfall customer show %d, then add --yes", id)
				}
				if err := b.EraseCustomer(cmd.Context(), time.Now(), id); err != nil {
					return err
				}
				return a.say(map[string]int64{"erased": id}, func(w *bytes.Buffer) {
					fmt.Fprintf(w, "Customer %d is erased from this book. Backups and papers of before still have the name.\n", id)
				})
			})
		},
	}
	cmd.Flags().BoolVar(&yes, "yes", false, "yes, for good")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
