package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/image/draw"

	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/plate"
	"brushfall/internal/shop"
	"brushfall/internal/store"
	"brushfall/internal/ticket"
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
			kinds, err := keptKinds(f.keep)
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

// keptKinds reads which cut files are kept, by the ends of their names.
func keptKinds(text string) ([]string, error) {
	known := []string{"svg", "dxf", "plt", "pdf"}
	switch text {
	case "all":
		return known, nil
	case "none", "":
		return nil, nil
	}
	kinds := strings.Split(text, ",")
	for _, k := range kinds {
		if !slices.Contains(known, k) {
			return nil, fault.New("usage", "--keep", "%q is no kind of cut file; write all, none or some of %s", k, strings.Join(known, ","))
		}
	}
	return kinds, nil
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
	doc, err := readLayout(dir)
	if err != nil {
		return shop.NewTemplate{}, err
	}
	if len(doc.Plates) == 0 {
		return shop.NewTemplate{}, fault.New("template", dir, "the design has no plates; make it again")
	}
	f := doc.Plates[0].Frame
	n := shop.NewTemplate{
		Print: plate.Print(doc.Plates), Mark: cmp.Or(shop.TemplateMark(doc.Plates[0].Code), ticket.Code(doc)), Design: doc.Design,
		Width: doc.Width, Height: doc.Height, FrameWidth: f[2] - f[0], FrameHeight: f[3] - f[1], Plates: len(doc.Plates),
	}
	if n.Kinds, err = templateKinds(doc); err != nil {
		return n, within(dir, err)
	}
	if !isFolder(dir) {
		dir = filepath.Dir(dir)
	}
	layout, err := readFile(filepath.Join(dir, layoutName))
	if err != nil {
		return n, err
	}
	sum := sha256.Sum256(layout)
	n.Digest = hex.EncodeToString(sum[:])
	n.Files = []shop.TemplateFile{{Name: layoutName, Data: layout}}
	for _, s := range doc.Sheets {
		for _, k := range kinds {
			name := fmt.Sprintf("sheet-%d.%s", s.Number, k)
			data, err := readFile(filepath.Join(dir, name))
			if fault.CodeOf(err) == "file-missing" {
				continue // a format that could not hold the sheet, or sheets that designs share
			}
			if err != nil {
				return n, err
			}
			n.Files = append(n.Files, shop.TemplateFile{Name: name, Data: data})
		}
	}
	n.Picture, err = smallPicture(filepath.Join(dir, "proof.png"))
	return n, err
}

// templateKinds counts the stones of one transfer.
func templateKinds(doc design.Document) ([]shop.Stones, error) {
	lines, err := count.Tally(doc.Stones, doc.Kinds, count.DefaultSpare)
	if err != nil {
		return nil, err
	}
	var out []shop.Stones
	for _, l := range lines {
		out = append(out, shop.Stones{Kind: shop.Kind{Size: l.Size, Colour: l.Colour}, Pieces: l.Pieces, Take: l.Take})
	}
	return out, nil
}

// pictureSide is the longest side of the picture that the book keeps, in pixels:
// enough for a label and for a list on a screen.
const pictureSide = 480

// mostPixels bounds a picture that is read: 100 million take 400 MB.
const mostPixels = 100_000_000

// smallPicture scales the picture of a design down; a design without one has none.
func smallPicture(path string) ([]byte, error) {
	text, err := readFile(path)
	if fault.CodeOf(err) == "file-missing" {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	head, err := png.DecodeConfig(bytes.NewReader(text))
	if err == nil && head.Width*head.Height > mostPixels {
		return nil, fault.New("picture", path, "the picture has %d × %d points; it is not one of ours", head.Width, head.Height)
	}
	full, err2 := png.Decode(bytes.NewReader(text))
	if err != nil || err2 != nil {
		return nil, fault.New("picture", path, "the picture cannot be read; make the design again, or remove it")
	}
	size := full.Bounds().Size()
	k := min(1, float64(pictureSide)/float64(max(size.X, size.Y)))
	small := image.NewRGBA(image.Rect(0, 0, max(1, int(float64(size.X)*k)), max(1, int(float64(size.Y)*k))))
	draw.CatmullRom.Scale(small, small.Bounds(), full, full.Bounds(), draw.Src, nil)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, small, &jpeg.Options{Quality: 88}); err != nil {
		return nil, fault.Wrap("picture", err)
	}
	return out.Bytes(), nil
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
