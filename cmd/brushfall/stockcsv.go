package main

import (
	"bytes"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// imported is what an import tells.
type imported struct {
	File   string   `json:"file"`
	DryRun bool     `json:"dry_run"`
	Rows   int      `json:"rows"`
	Pieces int      `json:"pieces"`
	Booked []booked `json:"booked"`
	Bad    []badRow `json:"bad"`
}

type badRow struct {
	Code    string `json:"code"`
	Where   string `json:"where"`
	Message string `json:"message"`
}

func (a *app) importCommand() *cobra.Command {
	var path string
	var dry bool
	cmd := &cobra.Command{
		Use:     "import FILE.csv",
		Short:   "Receive the stones of a table",
		Long:    "Receive the stones of a table, a lot for each row, all of them or, where a row is\nwrong, none. Every wrong row is told. The columns are size, colour, pieces and, as\nyou like, place, supplier, cost, note; docs/formats/book.md explains them. --dry-run\nonly looks.",
		Example: "  brushfall stock import shelf.csv --dry-run\n  brushfall stock import shelf.csv",
		Args:    oneArgument("the table to read, a CSV file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := readFile(args[0])
			if err != nil {
				return err
			}
			good, bad, err := shop.ReadStock(bytes.NewReader(text), func(size, colour string) (shop.Kind, error) {
				return findKind(cmd.Context(), path, size, colour)
			})
			if err != nil {
				return within(args[0], err)
			}
			if len(good)+len(bad) == 0 {
				return fault.New("csv-head", args[0], "there is no row below the head")
			}
			out := imported{File: args[0], DryRun: dry, Rows: len(good) + len(bad), Booked: []booked{}, Bad: []badRow{}}
			for _, r := range good {
				out.Pieces += r.Pieces
			}
			if len(bad) > 0 {
				out.Bad = a.tellRows(args[0], bad)
				return a.refuseTable(out, args[0], len(bad), out.Rows)
			}
			if !dry {
				err := withNewBook(cmd.Context(), path, func(b shop.Book) error {
					deeds, err := b.Receive(cmd.Context(), time.Now(), good)
					for _, d := range deeds {
						out.Booked = append(out.Booked, bookedOf(d))
					}
					return err
				})
				if err != nil {
					return err
				}
			}
			return a.say(out, func(w *bytes.Buffer) {
				did := "received"
				if dry {
					did = "all rows are good, nothing was booked:"
				}
				fmt.Fprintf(w, "%s: %s %s in %s\n", args[0], did, many(out.Pieces, "stone"), many(out.Rows, "lot"))
			})
		},
		ValidArgsFunction: filesOf("csv"),
	}
	cmd.Flags().BoolVar(&dry, "dry-run", false, "only look, and tell what is wrong")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// tellRows tells a person every bad row, and gives them for a machine.
func (a *app) tellRows(file string, bad []error) []badRow {
	var rows []badRow
	for _, err := range bad {
		rows = append(rows, badRow{Code: fault.CodeOf(err), Where: file, Message: err.Error()})
		if !a.json {
			fmt.Fprintf(a.err, "brushfall: %s %v\n", file, err)
		}
	}
	return rows
}

// refuseTable ends an import with bad rows, which were told; the error is for the
// exit code. A machine gets the answer.
func (a *app) refuseTable(answer any, file string, bad, rows int) error {
	if a.json {
		a.print(answer)
		a.json = false // one answer; the error goes to stderr alone
	}
	return fault.New("csv-line", file, "%d of %s are wrong, so nothing was booked; mend them and import again", bad, many(rows, "row"))
}

// export writes a table to a file, or without one to stdout.
func (a *app) export(to string, text []byte, what string) error {
	if to == "" {
		_, err := a.out.Write(text)
		return err
	}
	if err := os.WriteFile(to, text, 0o666); err != nil {
		return unwritable(to, err)
	}
	return a.say(map[string]string{"file": to}, func(w *bytes.Buffer) { fmt.Fprintf(w, "%s holds %s\n", to, what) })
}

func (a *app) exportCommand() *cobra.Command {
	var path, to string
	cmd := &cobra.Command{
		Use:     "export",
		Short:   "Write the stones on hand as a table",
		Long:    "Write the stones on hand as a CSV table, a row for each lot at each place. Imported\ninto an empty book it gives the same stones and values.",
		Example: "  brushfall stock export -o shelf.csv",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withBook(cmd.Context(), path, func(b shop.Book) error {
				stock, err := b.Stock(cmd.Context())
				if err != nil {
					return err
				}
				var text bytes.Buffer
				if err := shop.WriteStock(&text, stock); err != nil {
					return err
				}
				return a.export(to, text.Bytes(), "the stones on hand")
			})
		},
	}
	cmd.Flags().StringVarP(&to, "out", "o", "", "`FILE` to write (default: stdout)")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}
