package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

const jobHelp = `A job is what a customer ordered, or what the shop makes for its shelf: so many
transfers of designs, and where they go. It is asked for, promised, made and handed
over, or dropped on the way.

Promising it reserves what it takes, the spare stones counted in; making it uses the
stones, the oldest first. Transfers that were made for the shelf are stock, and fill
later jobs. brushfall job short says what the promised jobs lack, brushfall buy --jobs
what to buy.`

func (a *app) jobCommand() *cobra.Command {
	cmd := group("job", "Keep the jobs: ask, promise, make, hand over", jobHelp+"\n\n"+bookHelp)
	cmd.AddCommand(a.jobAddCommand(), a.jobListCommand(), a.jobShowCommand(), a.jobChangeCommand(),
		a.jobMoveCommand("promise", "Accept a job, and reserve what it takes", "Accept a job. Transfers that are free on the shelf are given to it; for the others\nstones, sheets and blanks are reserved. It can be promised before all is there;\nwhat is short is told. Promised again, the shelf is shared out anew.", (*store.Book).Promise),
		a.jobMakeCommand(), a.jobWasteCommand(),
		a.jobHandOverCommand(),
		a.jobMoveCommand("drop", "Drop a job, and free what it reserved", "Drop a job that is not handed over. What it reserved is free again; what was used\nis used.", (*store.Book).Drop),
		a.jobShortCommand(), a.jobDesignsCommand())
	return cmd
}

const lineHelp = `A line is DESIGN=NUMBER:DESTINATION, and after another colon the blank it is pressed on
where that is the shop's own: badge=12:disc:"disc 3 in". DESIGN is the folder of a
made design, its layout.json or counts.csv, or the number of one that is in the book.
The destinations are garment, bag, bow, disc, decal and shelf.`

var lineForm = regexp.MustCompile(`^(.+?)(?:=([^=:]*))?(?::(garment|bag|bow|disc|decal|shelf)(?::(.*))?)?$`)

// lineArg is a line as it was typed.
type lineArg struct {
	design string
	line   shop.Line
}

// parseLine reads "badge=12:disc:disc 3 in".
func parseLine(text string, to shop.Destination, template shop.Template) (lineArg, error) {
	m := lineForm.FindStringSubmatch(text)
	if m == nil {
		return lineArg{}, fault.New("job-line", text, "this is no line; write it as badge=12:disc")
	}
	out := lineArg{m[1], shop.Line{Quantity: 1, Destination: shop.Destination(m[3]), Blank: m[4], Template: template}}
	if strings.Contains(text, "=") {
		n, err := strconv.Atoi(m[2])
		if err != nil {
			// Where the destination is none, the form took it for a part of the number.
			if _, where, found := strings.Cut(text[strings.LastIndex(text, "=")+1:], ":"); found && m[3] == "" {
				_, err := shop.FindDestination(where)
				return out, at(text, err)
			}
			return out, fault.New("job-line", text, "%q is no number of transfers; write the line as badge=12:disc", m[2])
		}
		out.line.Quantity = n
	}
	if out.line.Destination == "" {
		out.line.Destination = to
	}
	if out.line.Destination == "" {
		return out, fault.New("job-line", text, "say where the transfers go, such as %s:disc, or for all lines --to disc", text)
	}
	return out, nil
}

// parseLines reads every line that was typed.
func parseLines(args []string, to string, template shop.Template) ([]lineArg, error) {
	var where shop.Destination
	if to != "" {
		var err error
		if where, err = shop.FindDestination(to); err != nil {
			return nil, at("--to", err)
		}
	}
	var out []lineArg
	for _, text := range args {
		l, err := parseLine(text, where, template)
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, nil
}

// resolve puts the designs of typed lines into the book, where they are not in it, and
// gives the lines with their numbers.
func resolve(ctx context.Context, b *store.Book, args []lineArg) ([]shop.Line, error) {
	var out []shop.Line
	for _, a := range args {
		id, err := strconv.ParseInt(a.design, 10, 64)
		if err != nil || exists(a.design) {
			d, err := designOf(ctx, b, a.design)
			if err != nil {
				return nil, err
			}
			if d, err = b.AddDesign(ctx, time.Now(), d); err != nil {
				return nil, at(a.design, err)
			}
			id = d.ID
		}
		a.line.Design = id
		out = append(out, a.line)
	}
	return out, nil
}

// designOf reads what a design takes from its folder, layout.json or counts.csv;
// b knows the shop's own stones.
func designOf(ctx context.Context, b *store.Book, path string) (shop.Design, error) {
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	if !strings.EqualFold(filepath.Ext(path), ".csv") {
		made, err := readMade(path)
		if err != nil {
			return shop.Design{}, err
		}
		d, err := made.Design(name)
		if err != nil {
			return d, within(path, err)
		}
		dir := path
		if !isFolder(path) {
			dir = filepath.Dir(path)
		}
		proof, err := readFile(filepath.Join(dir, office.PictureName))
		if fault.CodeOf(err) == "file-missing" {
			return d, nil
		}
		if err != nil {
			return d, err
		}
		return d, within(dir, office.SetPicture(&d, proof))
	}
	lines, err := linesOf(path)
	if err != nil {
		return shop.Design{}, err
	}
	text, err := readFile(path)
	if err != nil {
		return shop.Design{}, err
	}
	sum := sha256.Sum256(text)
	out := shop.Design{Name: name, Digest: hex.EncodeToString(sum[:])}
	for _, l := range lines {
		k, err := b.Find(ctx, l.Size, l.Colour)
		if err != nil {
			return out, at(path, err)
		}
		out.Stones = append(out.Stones, shop.Stones{Kind: k, Pieces: l.Pieces, Take: l.Take})
	}
	return out, nil
}

// customerNumber gives the number of the customer that was typed, 0 for none.
func customerNumber(ctx context.Context, b *store.Book, typed string) (int64, error) {
	if typed == "" {
		return 0, nil
	}
	c, err := customerOf(ctx, b, typed)
	return c.ID, err
}

func (a *app) jobAddCommand() *cobra.Command {
	var path, customer, to string
	var j shop.Job
	var anew, there bool
	cmd := &cobra.Command{
		Use:     "add LINE... [--customer NUMBER|NAME] [--due DAY]",
		Short:   "Book what a customer asks for",
		Long:    "Book what a customer asks for, or without one what the shop makes for itself.\n\n" + lineHelp,
		Example: "  brushfall job add badge=12:disc:\"disc 3 in\" crest=3:garment --customer Herons --due 2026-12-04\n  brushfall job add badge=30:shelf",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.New("usage", "", "say what is wanted, such as brushfall job add badge=12:disc")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			lines, err := parseLines(args, to, templateOf(anew, there))
			if err != nil {
				return err
			}
			return withStore(cmd.Context(), path, store.Create, func(b *store.Book) error {
				if j.Customer, err = customerNumber(cmd.Context(), b, customer); err != nil {
					return err
				}
				if j.Lines, err = resolve(cmd.Context(), b, lines); err != nil {
					return err
				}
				asked, err := b.Ask(cmd.Context(), time.Now(), j)
				if err != nil {
					return err
				}
				return a.reportJob(cmd.Context(), b, asked)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&customer, "customer", "", "who asks: a `NUMBER`, or words of the name")
	fs.StringVar(&j.Due, "due", "", "`DAY` it is to be ready, such as 2026-12-04")
	fs.StringVar(&to, "to", "", "`DESTINATION` of the lines that name none")
	fs.BoolVar(&anew, "new-template", false, "cut templates for it, also where there are some")
	fs.BoolVar(&there, "template-there", false, "the templates are there, though the book has not seen them made")
	fs.StringVar(&j.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(fs, &path)
	return cmd
}

func templateOf(anew, there bool) shop.Template {
	switch {
	case anew:
		return shop.Anew
	case there:
		return shop.There
	}
	return shop.AsNeeded
}
