package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
)

// shownTemplate is one template with its history.
type shownTemplate struct {
	templateRow
	History []templateEventRow `json:"history"`
	Files   []templateFileRow  `json:"files"`
}

type templateEventRow struct {
	At    time.Time `json:"at"`
	What  string    `json:"what"`
	Times int       `json:"times,omitempty"`
	Place string    `json:"place,omitempty"`
	Note  string    `json:"note,omitempty"`
}

type templateFileRow struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
}

func (a *app) templateShowCommand() *cobra.Command {
	var path, picture string
	cmd := &cobra.Command{
		Use:     "show CODE",
		Short:   "Show a template: its stones, its place, what was done with it",
		Example: "  brushfall template show 7K4M-9AC4\n  brushfall template show 7k4m9ac4 --picture badge.jpg",
		RunE: func(cmd *cobra.Command, args []string) error {
			code, err := theCode(args)
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				t, err := b.Template(cmd.Context(), code)
				if err != nil {
					return err
				}
				if picture != "" {
					if err := writePicture(cmd.Context(), b, t, picture); err != nil {
						return err
					}
				}
				out, err := showTemplate(cmd.Context(), b, t)
				if err != nil {
					return err
				}
				return a.say(out, func(w *bytes.Buffer) { out.text(w, t) })
			})
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "write its picture to this `FILE`, a JPEG")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func writePicture(ctx context.Context, b shop.Templates, t shop.TemplateSet, to string) error {
	picture, err := office.TemplatePicture(ctx, b, t)
	if err != nil {
		return err
	}
	if picture == nil {
		return fault.New("picture", t.Code, "the book has no picture of this template, nor a layout to draw one by")
	}
	if err := os.WriteFile(to, picture, 0o666); err != nil {
		return unwritable(to, err)
	}
	return nil
}

func showTemplate(ctx context.Context, b shop.Templates, t shop.TemplateSet) (shownTemplate, error) {
	out := shownTemplate{templateRow: templateRowOf(t), History: []templateEventRow{}, Files: []templateFileRow{}}
	history, err := b.TemplateHistory(ctx, t.ID)
	if err != nil {
		return out, err
	}
	for _, e := range history {
		out.History = append(out.History, templateEventRow{e.At, string(e.What), e.Times, e.Place, e.Note})
	}
	files, err := b.TemplateFiles(ctx, t.ID)
	for _, f := range files {
		out.Files = append(out.Files, templateFileRow{f.Name, len(f.Data)})
	}
	return out, err
}

func (s shownTemplate) text(w io.Writer, t shop.TemplateSet) {
	fmt.Fprintf(w, "%s  %s\n", t.Code, t.Design)
	if t.Mark != "" && t.Mark != t.Code {
		fmt.Fprintf(w, "on its frames or its ticket: %s\n", t.Mark)
	}
	fmt.Fprintf(w, "%s, in %s with a frame of %s\n", ticket.Area(t.Width, t.Height, unit.Millimetre), many(t.Plates, "plate"), ticket.Area(t.FrameWidth, t.FrameHeight, unit.Millimetre))
	fmt.Fprintf(w, "at %s, %s, %s\n", t.Place, t.Condition, worked(t))
	if t.Customer != "" {
		fmt.Fprintf(w, "for %s\n", t.Customer)
	}
	if t.Note != "" {
		fmt.Fprintln(w, t.Note)
	}
	fmt.Fprintf(w, "\n%s of a transfer (with spare ones):\n", many(t.Stones, "stone"))
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, k := range t.Kinds {
		fmt.Fprintf(tab, "  %s\t%d\t(%d)\n", k.Kind, k.Pieces, k.Take)
	}
	tab.Flush()
	fmt.Fprintln(w)
	for _, e := range s.History {
		fmt.Fprintf(tab, "%s\t%s\t%s\n", e.At.Local().Format("2006-01-02 15:04"), e.words(), e.Note)
	}
	tab.Flush()
}

// words tells an event.
func (e templateEventRow) words() string {
	text := e.What
	if e.Times > 0 {
		text += " " + times(e.Times)
	}
	if e.Place != "" {
		text += ", put at " + e.Place
	}
	return text
}

func (a *app) templateExportCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "export FOLDER CODE",
		Short:   "Write the layout and the cut files of a template again",
		Long:    "Write layout.json and the cut files that were kept of a template into a folder, byte\nfor byte as they were when it was entered: to cut the same templates again.",
		Example: "  brushfall template export badge-again 7K4M-9AC4",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) < 2 {
				return fault.New("usage", "", "name a folder and the code of a template: %s", cmd.UseLine())
			}
			code, err := theCode(args[1:])
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Open, func(b *store.Book) error {
				t, err := b.Template(cmd.Context(), code)
				if err != nil {
					return err
				}
				return a.exportTemplate(cmd.Context(), b, t, args[0])
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) exportTemplate(ctx context.Context, b shop.Templates, t shop.TemplateSet, dir string) error {
	kept, err := b.TemplateFiles(ctx, t.ID)
	if err != nil {
		return err
	}
	var files []job.File
	out := struct {
		Folder string            `json:"folder"`
		Code   string            `json:"code"`
		Files  []templateFileRow `json:"files"`
	}{dir, t.Code, []templateFileRow{}}
	for _, f := range kept {
		if f.Name != layoutName && !made.MatchString(f.Name) {
			return fault.New("book-damaged", t.Code, "the book holds a file %q of this template, which is none of a design; brushfall book check tells more", f.Name)
		}
		files = append(files, job.File{Name: f.Name, Data: f.Data})
		out.Files = append(out.Files, templateFileRow{f.Name, len(f.Data)})
	}
	to, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer to.discard()
	if err := to.commit(ctx, files); err != nil {
		return err
	}
	return a.say(out, func(w *bytes.Buffer) {
		fmt.Fprintf(w, "%s holds the files of %s, %s:\n", dir, t.Code, t.Design)
		for _, f := range out.Files {
			fmt.Fprintf(w, "  %s\n", f.Name)
		}
	})
}
