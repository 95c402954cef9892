package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// findFlags are those of a search.
type findFlags struct {
	colours, sizes                []string
	customer, place, since, until string
	gone                          bool
	most                          int
}

// mostFound is how many a search lists where nothing else is said.
const mostFound = 50

func (a *app) templateFindCommand() *cobra.Command {
	var path string
	var f findFlags
	cmd := &cobra.Command{
		Use:   "find [WORD...]",
		Short: "Find templates by words, stones, customer, place and day",
		Long: `Find templates: by the beginnings of words of the design's name, the code, the
stones, the customer, the place and the note, in any case and with or without
accents ("lukasz" finds Łukasz); by size and colour of their stones, customer,
place, and the days they were cut. All that is given must hold. The best match is
first, then the newest. Without anything it lists the newest.`,
		Example: "  brushfall template find heron\n  brushfall template find regatta --colour \"light sapphire\" --since 2026-01-01\n  brushfall template find --place \"drawer 3\" --json",
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := f.search(args)
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				if f.customer != "" {
					c, err := customerOf(cmd.Context(), b, f.customer)
					if err != nil {
						return err
					}
					s.Customer = c.ID
				}
				found, err := b.FindTemplates(cmd.Context(), s)
				if err != nil {
					return err
				}
				rows := []templateRow{}
				for _, t := range found {
					rows = append(rows, templateRowOf(t))
				}
				return a.say(rows, func(w *bytes.Buffer) { templateTable(w, found, s.Most) })
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringArrayVar(&f.colours, "colour", nil, "with stones of this colour, a `NAME`; may be given again")
	fs.StringArrayVar(&f.sizes, "size", nil, "with stones of this `SIZE`, such as SS10; may be given again")
	fs.StringVar(&f.customer, "customer", "", "of this customer: a `NUMBER`, or words of the name")
	fs.StringVar(&f.place, "place", "", "at this `PLACE`")
	fs.StringVar(&f.since, "since", "", "cut on this `DAY` or later, 2026-03-14")
	fs.StringVar(&f.until, "until", "", "cut on this `DAY` or earlier")
	fs.BoolVar(&f.gone, "gone", false, "also those that are gone")
	fs.IntVar(&f.most, "most", mostFound, "how many at most: a `NUMBER`; 0 for all")
	completeKinds(cmd)
	a.bookFlag(fs, &path)
	return cmd
}

// search reads the flags, but for the customer, whom the book knows.
func (f findFlags) search(words []string) (shop.Search, error) {
	s := shop.Search{Words: strings.Join(words, " "), Place: f.place, Gone: f.gone, Most: f.most}
	if f.most < 0 {
		return s, fault.New("usage", "--most", "%d templates cannot be listed; give a number, or 0 for all", f.most)
	}
	if _, err := s.Terms(); err != nil {
		return s, err
	}
	for _, name := range f.sizes {
		size, err := catalogue.FindSize(name)
		if err != nil {
			return s, at("--size", err)
		}
		s.Sizes = append(s.Sizes, size.Name)
	}
	for _, name := range f.colours {
		s.Colours = append(s.Colours, strings.ToLower(strings.Join(strings.Fields(name), " ")))
	}
	var err error
	if s.Since, err = day("--since", f.since); err != nil {
		return s, err
	}
	if s.Until, err = day("--until", f.until); err == nil && !s.Until.IsZero() {
		s.Until = s.Until.AddDate(0, 0, 1) // its whole day
	}
	return s, err
}

// day reads a day of the local calendar; the zero time for none.
func day(flag, text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	d, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return d, fault.New("usage", flag, "%q is no day; write year, month, day, such as 2026-03-14", text)
	}
	return d, nil
}

func templateTable(w io.Writer, found []shop.TemplateSet, most int) {
	if len(found) == 0 {
		fmt.Fprintln(w, "No template answers to this; brushfall template add enters those that were cut")
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "code\tdesign\tstones\tat\tbrushed\tcut\tcustomer")
	for _, f := range found {
		place := f.Place
		if f.Condition != shop.Good {
			place += " (" + string(f.Condition) + ")"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d of %d\t%s\t%s\n", f.Code, f.Design, kindsText(f), place, f.Uses, f.Lasts, f.Made.Local().Format(time.DateOnly), f.Customer)
	}
	t.Flush()
	if len(found) == most {
		fmt.Fprintf(w, "The first %d; --most 0 lists all\n", most)
	}
}

// kindsText tells the stones of a template in short, the largest first.
func kindsText(t shop.TemplateSet) string {
	const shown = 3
	var parts []string
	for i, k := range t.Kinds {
		if i == shown && len(t.Kinds) > shown+1 {
			parts = append(parts, fmt.Sprintf("%d more kinds", len(t.Kinds)-shown))
			break
		}
		parts = append(parts, k.Kind.String())
	}
	return strings.Join(parts, ", ")
}
