package main

import (
	"bytes"
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

const templateHelp = `Keep the templates that were cut, to find them again: each set has a short code,
a place, a picture, its stones, and the files to cut it again.

The code is the one on the ticket, and on the frames where "frame: {code: auto}" in
the job cuts it. Its last sign checks the others. A second set of the same design
gets a code of its own; put its label on.`

func (a *app) templateCommand() *cobra.Command {
	cmd := group("template", "Keep the templates that were cut: find them again, see which can be brushed", templateHelp+"\n\n"+bookHelp)
	cmd.AddCommand(
		a.templateAddCommand(), a.templateFindCommand(), a.templateShowCommand(), a.canBrushCommand(),
		a.templateUseCommand(), a.templateMoveCommand(),
		a.templateNoteCommand(shop.TemplateWorn, "worn", "Note that a template is worn", "  brushfall template worn 7K4M-9AC4 --note \"the small holes are ragged\""),
		a.templateNoteCommand(shop.TemplateGood, "good", "Note that a template is good after all, or was found again", "  brushfall template good 7K4M-9AC4 --place \"drawer 3\""),
		a.templateNoteCommand(shop.TemplateGone, "gone", "Note that a template was thrown away or lost", "  brushfall template gone 7K4M-9AC4 --note torn"),
		a.templateExportCommand(), a.templateLabelCommand(),
	)
	return cmd
}

// templateRow is a template for a machine.
type templateRow struct {
	Code      string     `json:"code"`
	Mark      string     `json:"mark,omitempty"`
	Design    string     `json:"design"`
	Width     float64    `json:"width"`
	Height    float64    `json:"height"`
	Frame     [2]float64 `json:"frame"`
	Plates    int        `json:"plates"`
	Stones    int        `json:"stones"`
	Kinds     []wantRow  `json:"kinds"`
	Customer  *int64     `json:"customer"`
	Called    string     `json:"customer_name,omitempty"`
	Place     string     `json:"place"`
	Condition string     `json:"condition"`
	Uses      int        `json:"uses"`
	Lasts     int        `json:"lasts"`
	Made      time.Time  `json:"made"`
	Last      *time.Time `json:"last_used"`
	Note      string     `json:"note,omitempty"`
	Layout    string     `json:"layout"`
}

// wantRow is stones of a kind: of one transfer, and with the spare ones.
type wantRow struct {
	Size   string `json:"size"`
	Colour string `json:"colour"`
	Pieces int    `json:"pieces"`
	Take   int    `json:"with_spare"`
}

func templateRowOf(t shop.TemplateSet) templateRow {
	r := templateRow{
		Code: t.Code, Mark: t.Mark, Design: t.Design, Width: t.Width, Height: t.Height, Frame: [2]float64{t.FrameWidth, t.FrameHeight},
		Plates: t.Plates, Stones: t.Stones, Kinds: []wantRow{}, Called: t.Customer, Place: t.Place, Condition: string(t.Condition),
		Uses: t.Uses, Lasts: t.Lasts, Made: t.Made, Note: t.Note, Layout: t.Digest,
	}
	for _, k := range t.Kinds {
		r.Kinds = append(r.Kinds, wantRow{k.Kind.Size, k.Kind.Colour, k.Pieces, k.Take})
	}
	if t.CustomerID != 0 {
		r.Customer = &t.CustomerID
	}
	if !t.Last.IsZero() {
		r.Last = &t.Last
	}
	return r
}

// worked puts what a template has made into words.
func worked(t shop.TemplateSet) string {
	if t.Uses == 0 {
		return "not brushed yet"
	}
	text := fmt.Sprintf("brushed %s of about %d", times(t.Uses), t.Lasts)
	if t.Worked() >= 1 {
		text += ": look whether the holes are still round"
	}
	return text
}

func times(n int) string { return many(n, "time") }

// noteTemplate is what the commands on one template have in common.
func (a *app) noteTemplate(ctx context.Context, path, code string, e shop.TemplateEvent) error {
	return withStore(ctx, path, store.Open, func(b *store.Book) error {
		t, err := b.NoteTemplate(ctx, time.Now(), code, e)
		if err != nil {
			return err
		}
		return a.say(templateRowOf(t), func(w *bytes.Buffer) {
			fmt.Fprintf(w, "%s %s: %s, at %s, %s\n", t.Code, t.Design, t.Condition, t.Place, worked(t))
		})
	})
}

// theCode wants the one argument of most of these commands. A code may be typed
// with blanks in it.
func theCode(args []string) (string, error) {
	if len(args) == 0 {
		return "", fault.New("usage", "", "name the template by its code, such as 7K4M-9AC4; brushfall template find has them all")
	}
	return strings.Join(args, " "), nil
}

func (a *app) templateUseCommand() *cobra.Command {
	var path string
	e := shop.TemplateEvent{What: shop.TemplateBrushed}
	cmd := &cobra.Command{
		Use:     "use CODE [--pieces N]",
		Short:   "Note that transfers were brushed with a template",
		Example: "  brushfall template use 7K4M-9AC4 --pieces 12 --note Herons",
		RunE: func(cmd *cobra.Command, args []string) error {
			code, err := theCode(args)
			if err != nil {
				return err
			}
			if e.Times < 1 {
				return fault.New("template-uses", "--pieces", "%d transfers cannot be; give a number such as 12", e.Times)
			}
			return a.noteTemplate(cmd.Context(), path, code, e)
		},
	}
	cmd.Flags().IntVar(&e.Times, "pieces", 1, "how many transfers: a `NUMBER`")
	cmd.Flags().StringVar(&e.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) templateMoveCommand() *cobra.Command {
	var path string
	e := shop.TemplateEvent{What: shop.TemplateMoved}
	cmd := &cobra.Command{
		Use:     "move CODE --to PLACE",
		Short:   "Note where a template is now",
		Example: "  brushfall template move 7K4M-9AC4 --to \"drawer 3\"",
		RunE: func(cmd *cobra.Command, args []string) error {
			code, err := theCode(args)
			if err != nil {
				return err
			}
			if strings.TrimSpace(e.Place) == "" {
				return fault.New("usage", "--to", "say where to: add --to and a place, such as --to \"drawer 3\"")
			}
			return a.noteTemplate(cmd.Context(), path, code, e)
		},
	}
	cmd.Flags().StringVar(&e.Place, "to", "", "`PLACE` it is put at")
	cmd.Flags().StringVar(&e.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// templateNoteCommand is the command of one condition.
func (a *app) templateNoteCommand(what shop.TemplateWhat, name, short, example string) *cobra.Command {
	var path string
	e := shop.TemplateEvent{What: what}
	cmd := &cobra.Command{
		Use: name + " CODE", Short: short, Example: example,
		RunE: func(cmd *cobra.Command, args []string) error {
			code, err := theCode(args)
			if err != nil {
				return err
			}
			return a.noteTemplate(cmd.Context(), path, code, e)
		},
	}
	if what == shop.TemplateGood {
		cmd.Flags().StringVar(&e.Place, "place", "", "`PLACE` it is put at (default: where it was)")
	}
	cmd.Flags().StringVar(&e.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// customerOf finds a customer by number or by words that only one has.
func customerOf(ctx context.Context, b shop.Customers, text string) (shop.Customer, error) {
	if id, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64); err == nil {
		return b.Customer(ctx, id)
	}
	all, err := b.Customers(ctx, text)
	switch {
	case err != nil:
		return shop.Customer{}, err
	case len(all) == 0:
		return shop.Customer{}, fault.New("customer-unknown", "--customer", "no customer has %q; brushfall customer list has them all", text)
	case len(all) > 1:
		return shop.Customer{}, fault.New("customer-unknown", "--customer", "%d customers have %q, such as %s and %s; give the number of one", len(all), text, all[0].Name, all[1].Name)
	}
	return all[0], nil
}
