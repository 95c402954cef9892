package main

import (
	"context"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// onJob runs a command on the job of a number.
func (a *app) onJob(ctx context.Context, path, number string, do func(b *store.Book, id int64) (shop.Job, error)) error {
	id, err := numberOf("job", number)
	if err != nil {
		return err
	}
	return withStore(ctx, path, store.Open, func(b *store.Book) error {
		j, err := do(b, id)
		if err != nil {
			return err
		}
		return a.reportJob(ctx, b, j)
	})
}

// jobMoveCommand is the command of one move of a job.
func (a *app) jobMoveCommand(name, short, long string, move func(*store.Book, context.Context, time.Time, int64, string) (shop.Job, error)) *cobra.Command {
	var path, note string
	cmd := &cobra.Command{
		Use:     name + " NUMBER",
		Short:   short,
		Long:    long,
		Example: "  brushfall job " + name + " 7",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.onJob(cmd.Context(), path, args[0], func(b *store.Book, id int64) (shop.Job, error) {
				return move(b, cmd.Context(), time.Now(), id, note)
			})
		},
	}
	cmd.Flags().StringVar(&note, "note", "", "a `TEXT` to remember")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) jobMakeCommand() *cobra.Command {
	var path string
	var m shop.Making
	cmd := &cobra.Command{
		Use:   "make NUMBER [--line N [--transfers N]]",
		Short: "Book transfers of a job as made, and use their stones",
		Long: `Book transfers of a promised job as made: all that are left, or those of one line. The
stones of the design are used, the oldest first, and the tape, film, flock and blanks
they take, as far as the book has ever had such. What comes from the shelf is taken
from it; what is made for the shelf comes into stock with what it cost.

Where something is missing nothing is booked, and you are told what to do. --found says
that all was there, whatever the book says: what it lacks is counted up, then used.

The transfers are noted with the template that they are brushed with. One that the book
does not have yet is entered, with its picture; say then where you put it.

Stones that go wrong are booked beside it: brushfall job waste.`,
		Example: "  brushfall job make 7\n  brushfall job make 7 --line 2 --transfers 5\n  brushfall job make 7 --found",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("transfers") && (m.Transfers < 1 || m.Line == 0) {
				return fault.New("usage", "--transfers", "say of which line how many were made, such as --line 2 --transfers 5")
			}
			return a.onJob(cmd.Context(), path, args[0], func(b *store.Book, id int64) (shop.Job, error) {
				m.Job = id
				return b.Make(cmd.Context(), time.Now(), m)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.IntVar(&m.Line, "line", 0, "`NUMBER` of the line (default: all)")
	fs.IntVar(&m.Transfers, "transfers", 0, "how many: a `NUMBER` (default: all that are left)")
	fs.StringVar(&m.Place, "place", "", "`PLACE` where the stones are taken from (default shelf)")
	fs.BoolVar(&m.Found, "found", false, "all was there: count up what the book lacks of it")
	fs.StringVar(&m.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(fs, &path)
	return cmd
}

func (a *app) jobHandOverCommand() *cobra.Command {
	var path, note string
	var line int
	cmd := &cobra.Command{
		Use:     "hand-over NUMBER [--line N]",
		Short:   "Hand a made job over, or one line of a job that is made",
		Long:    "Hand a made job over. With --line one line is handed over whose transfers are all\nmade, also while others are not; the last one ends the job.",
		Example: "  brushfall job hand-over 7\n  brushfall job hand-over 7 --line 2",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("line") && line < 1 {
				return fault.New("usage", "--line", "%d is no line of a job; brushfall job show has their numbers", line)
			}
			return a.onJob(cmd.Context(), path, args[0], func(b *store.Book, id int64) (shop.Job, error) {
				if line > 0 {
					return b.HandOverLine(cmd.Context(), time.Now(), id, line, note)
				}
				return b.HandOver(cmd.Context(), time.Now(), id, note)
			})
		},
	}
	cmd.Flags().IntVar(&line, "line", 0, "`NUMBER` of the line (default: the whole job)")
	cmd.Flags().StringVar(&note, "note", "", "a `TEXT` to remember")
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

func (a *app) jobWasteCommand() *cobra.Command {
	var path string
	var kind kindFlags
	var pieces int
	var w shop.Wasting
	cmd := &cobra.Command{
		Use:   "waste NUMBER (--transfers N | --size SIZE --colour NAME --pieces N)",
		Short: "Book stones of a job that were spoiled",
		Long: `Book what was spoiled while a job was made: the stones and the tape of so many
transfers, or some stones. They are taken beyond what the job reserves.`,
		Example: "  brushfall job waste 7 --transfers 1 --note \"slipped on the press\"\n  brushfall job waste 7 --size SS10 --colour crystal --pieces 35",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if pieces != 0 || kind != (kindFlags{}) {
				k, err := kind.kind(cmd.Context(), path)
				if err != nil {
					return err
				}
				w.Stones = []shop.Want{{Kind: k, Pieces: pieces}}
			}
			return a.onJob(cmd.Context(), path, args[0], func(b *store.Book, id int64) (shop.Job, error) {
				w.Job = id
				return b.Waste(cmd.Context(), time.Now(), w)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.IntVar(&w.Line, "line", 0, "`NUMBER` of the line, where the job has several")
	fs.IntVar(&w.Transfers, "transfers", 0, "how many transfers: a `NUMBER`")
	kind.add(cmd)
	fs.IntVar(&pieces, "pieces", 0, "how many stones: a `NUMBER`")
	fs.StringVar(&w.Place, "place", "", "`PLACE` where the stones were (default shelf)")
	fs.StringVar(&w.Note, "note", "", "a `TEXT` to remember")
	a.bookFlag(fs, &path)
	return cmd
}

func (a *app) jobChangeCommand() *cobra.Command {
	var path, due, about, customer, to, note string
	var add []string
	var remove []int
	var anew, there bool
	cmd := &cobra.Command{
		Use:     "change NUMBER",
		Short:   "Change a job's day or note, and before it is promised its lines",
		Long:    "Change a job. What is not named stays. Lines and customer change only while the job\nis asked for.\n\n" + lineHelp,
		Example: "  brushfall job change 7 --due 2026-12-11\n  brushfall job change 7 --remove 2 --add crest=5:garment",
		Args:    oneArgument("the number of the job, as brushfall job list has it"),
		RunE: func(cmd *cobra.Command, args []string) error {
			lines, err := parseLines(add, to, templateOf(anew, there))
			if err != nil {
				return err
			}
			changed := cmd.Flags().Changed
			return a.onJob(cmd.Context(), path, args[0], func(b *store.Book, id int64) (shop.Job, error) {
				am := shop.Amendment{Job: id, Remove: remove}
				if changed("due") {
					am.Due = &due
				}
				if changed("about") {
					am.Note = &about
				}
				if changed("customer") {
					who, err := customerNumber(cmd.Context(), b, customer)
					if err != nil {
						return shop.Job{}, err
					}
					am.Customer = &who
				}
				var err error
				if am.Add, err = resolve(cmd.Context(), b, lines); err != nil {
					return shop.Job{}, err
				}
				return b.Amend(cmd.Context(), time.Now(), am, note)
			})
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&due, "due", "", "`DAY` it is to be ready; an empty one: none")
	fs.StringVar(&about, "about", "", "the job's note, a `TEXT`")
	fs.StringVar(&customer, "customer", "", "who asks: a `NUMBER`, or words of the name; empty: the shop")
	fs.StringArrayVar(&add, "add", nil, "a `LINE` to add")
	fs.IntSliceVar(&remove, "remove", nil, "`NUMBER` of a line to take away")
	fs.StringVar(&to, "to", "", "`DESTINATION` of added lines that name none")
	fs.BoolVar(&anew, "new-template", false, "cut templates for the added lines, also where there are some")
	fs.BoolVar(&there, "template-there", false, "the templates of the added lines are there")
	fs.StringVar(&note, "note", "", "why, a `TEXT` for the job's history")
	a.bookFlag(fs, &path)
	return cmd
}

// ids prints numbers, at most a few of them.
func ids(numbers []int64) string {
	const most = 8
	text := ""
	for i, n := range numbers {
		if i == most {
			return text + " …"
		}
		if i > 0 {
			text += " "
		}
		text += strconv.FormatInt(n, 10)
	}
	return text
}
