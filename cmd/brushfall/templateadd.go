package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// templateFlags are those that a template is entered with.
type templateFlags struct {
	place, note, customer, keep string
	lasts                       int
}

func (a *app) templateAddCommand() *cobra.Command {
	var path string
	var f templateFlags
	cmd := &cobra.Command{
		Use:   "add FOLDER...",
		Short: "Enter the templates of designs that were cut",
		Long: `Enter the templates of designs that were cut, as "brushfall make" wrote them: all
plates of a design as one set. Of a folder with several designs, as "brushfall gang"
and "brushfall roster" write it, every design is entered.

layout.json and the cut files are kept, packed, so that the same templates can be
cut again: brushfall template export. --keep plt keeps the cut files of one kind
only, --keep none the layout alone.`,
		Example: "  brushfall template add badge --place \"drawer 3\"\n  brushfall template add badge --customer Herons --note \"regatta 2026\" --keep plt",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.New("usage", "", "name the folder of a design: %s", cmd.UseLine())
			}
			kinds, err := office.KeptKinds(f.keep)
			if err != nil {
				return err
			}
			var all []shop.NewTemplate
			for _, arg := range args {
				dirs, err := designFolders(arg)
				if err != nil {
					return err
				}
				for _, dir := range dirs {
					n, err := readTemplate(dir, kinds)
					if err != nil {
						return err
					}
					n.Place, n.Note, n.Lasts = f.place, f.note, f.lasts
					if n, err = n.Check(); err != nil { // before a book is begun for it
						return at(dir, err)
					}
					all = append(all, n)
				}
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				return a.enterTemplates(cmd.Context(), b, all, f.customer)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.place, "place", "", "`PLACE` it is put at (default shelf)")
	fs.StringVar(&f.customer, "customer", "", "whose design it is: a `NUMBER`, or words of the name")
	fs.StringVar(&f.note, "note", "", "a `TEXT` to remember, and to find it by")
	fs.IntVar(&f.lasts, "lasts", 0, "how many transfers it is expected to be good for, a `NUMBER` (default 300, from memory)")
	fs.StringVar(&f.keep, "keep", "all", "cut files to keep: all, none or `KINDS` such as svg,plt")
	a.bookFlag(fs, &path)
	return cmd
}

// designFolders gives the folder, or, where it holds several designs, theirs by name.
func designFolders(dir string) ([]string, error) {
	if !isFolder(dir) || isThere(filepath.Join(dir, layoutName)) {
		return []string{dir}, nil
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, openFault(dir, err)
	}
	var out []string
	for _, e := range entries {
		if at := filepath.Join(dir, e.Name()); isThere(filepath.Join(at, layoutName)) {
			out = append(out, at)
		}
	}
	if len(out) == 0 {
		return []string{dir}, nil // which tells what is missing
	}
	return out, nil
}

// readTemplate makes an entry of the folder of a design.
func readTemplate(dir string, kinds []string) (shop.NewTemplate, error) {
	made, err := readMade(dir)
	if err != nil {
		return shop.NewTemplate{}, err
	}
	of := dir
	if !isFolder(dir) {
		dir = filepath.Dir(dir)
	}
	n, err := office.TemplateOf(made, kinds, func(name string) ([]byte, error) {
		data, err := readFile(filepath.Join(dir, name))
		if fault.CodeOf(err) == "file-missing" {
			return nil, nil
		}
		return data, err
	})
	return n, at(of, err)
}

// enterTemplates writes them into the book and tells their codes.
func (a *app) enterTemplates(ctx context.Context, b *store.Book, all []shop.NewTemplate, customer string) error {
	var whose int64
	if customer != "" {
		c, err := customerOf(ctx, b, customer)
		if err != nil {
			return err
		}
		whose = c.ID
	}
	rows := []templateRow{}
	var text bytes.Buffer
	for _, n := range all {
		n.Customer = whose
		t, err := b.AddTemplate(ctx, time.Now(), n)
		if err != nil {
			return err
		}
		rows = append(rows, templateRowOf(t))
		fmt.Fprintf(&text, "%s  %s: %s, %s, at %s\n", t.Code, t.Design, many(t.Plates, "plate"), many(t.Stones, "stone"), t.Place)
		if first := shop.TemplateCode(n.Print, 0); first != t.Code {
			fmt.Fprintf(&text, "  %s is another set of the same templates, whose code the ticket has, and the frames if they have one:\n  put a label on this set\n", first)
		}
	}
	fmt.Fprintf(&text, "Labels: brushfall template label%s\n", joinedCodes(rows))
	return a.say(rows, func(w *bytes.Buffer) { _, _ = text.WriteTo(w) })
}

func joinedCodes(rows []templateRow) string {
	if len(rows) > 4 {
		return " " + rows[0].Code + " " + rows[1].Code + " … (" + strconv.Itoa(len(rows)) + ")"
	}
	text := ""
	for _, r := range rows {
		text += " " + r.Code
	}
	return text
}
