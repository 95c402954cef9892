package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/adrg/xdg"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

const bookHelp = `The shop's book is one file with the stock, the suppliers and their packs. It
is in your data folder unless --book names another; the first stones you receive
begin it. Several programs may use one book at once, on one machine: not over a
network drive.`

// bookFlag adds --book and --json, which every command on the book has.
func (a *app) bookFlag(fs *pflag.FlagSet, path *string) {
	fs.StringVar(path, "book", "", "`FILE` of the shop's book (default: in your data folder)")
	a.jsonFlag(fs)
}

// bookPath gives the book's file: the one named, or the one of the person's data
// folder, as the XDG Base Directory Specification has it, or the system's own place.
func bookPath(named string) string {
	if named != "" {
		return named
	}
	xdg.Reload()
	return filepath.Join(xdg.DataHome, "brushfall", "shop.book")
}

// withBook opens a book that must be there, and closes it.
func withBook(ctx context.Context, path string, do func(shop.Book) error) error {
	return withStore(ctx, path, store.Open, func(b *store.Book) error { return do(b) })
}

// withNewBook is withBook that begins a book where there is none.
func withNewBook(ctx context.Context, path string, do func(shop.Book) error) error {
	return withStore(ctx, path, store.Create, func(b *store.Book) error { return do(b) })
}

// withStore opens a book, in one of the store's ways, with all that it keeps.
func withStore(ctx context.Context, path string, open func(context.Context, string) (*store.Book, error), do func(*store.Book) error) error {
	b, err := open(ctx, bookPath(path))
	if err != nil {
		return err
	}
	return errors.Join(do(b), b.Close())
}

func (a *app) bookCommand() *cobra.Command {
	cmd := group("book", "Check, back up and restore the shop's book", bookHelp)
	cmd.AddCommand(a.bookCheckCommand(), a.bookBackupCommand(), a.bookRestoreCommand())
	return cmd
}

// group is a command that only holds others.
func group(name, short, long string) *cobra.Command {
	return &cobra.Command{
		Use: name, Short: short, Long: long, Args: cobra.ArbitraryArgs, SuggestionsMinimumDistance: 2,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return cmd.Help()
		},
	}
}

// checked is what a check tells.
type checked struct {
	Book     string   `json:"book"`
	Sound    bool     `json:"sound"`
	Schema   int64    `json:"schema"`
	Deeds    int      `json:"deeds"`
	Entries  int      `json:"entries"`
	Lots     int      `json:"lots"`
	Pieces   int64    `json:"pieces"`
	Sets     int      `json:"templates"`
	Problems []string `json:"problems"`
	Copy     string   `json:"copy,omitempty"`
	Kept     string   `json:"kept,omitempty"`
}

func checkedOf(path string, r store.Report) checked {
	c := checked{Book: path, Sound: len(r.Problems) == 0, Schema: r.Schema, Deeds: r.Deeds, Entries: r.Entries, Lots: r.Lots, Pieces: r.Pieces, Sets: r.Templates, Problems: []string{}}
	c.Problems = append(c.Problems, r.Problems...)
	return c
}

func (c checked) contents() string {
	text := fmt.Sprintf("%s in %s, %s on hand", many(c.Deeds, "deed"), many(c.Lots, "lot"), many(int(c.Pieces), "stone"))
	if c.Sets > 0 {
		text += ", " + many(c.Sets, "template")
	}
	return text
}

func (a *app) bookCheckCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "check",
		Short:   "Check that the book is sound",
		Long:    "Check the whole book: the file, its references, and that the ledger adds up.\nNothing is changed. Exit code 1 where something is wrong.",
		Example: "  brushfall book check\n  brushfall book check --book shop.book --json",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			path := bookPath(path)
			b, err := store.Look(cmd.Context(), path)
			if err != nil {
				return err
			}
			r, err := b.Check(cmd.Context())
			if err := errors.Join(err, b.Close()); err != nil {
				return err
			}
			c := checkedOf(path, r)
			if a.json {
				a.print(c)
			} else if c.Sound {
				fmt.Fprintf(a.out, "%s is sound: %s\n", path, c.contents())
			}
			if c.Sound {
				return nil
			}
			if !a.json {
				for _, p := range c.Problems {
					fmt.Fprintln(a.out, p)
				}
			}
			return errFindings
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// dated gives a name beside a book's, with the time in it to the thousandth.
func dated(path, what string, now time.Time) string {
	return fmt.Sprintf("%s.%s-%s", path, what, now.Format("20060102-150405.000"))
}

func (a *app) bookBackupCommand() *cobra.Command {
	var path string
	var force bool
	cmd := &cobra.Command{
		Use:     "backup [FILE]",
		Short:   "Write a checked copy of the book",
		Long:    "Write a copy of the book as it is at this moment, while others may go on\nwriting. The copy is checked before it gets its name. Keep it on another disk.",
		Example: "  brushfall book backup /media/stick/shop.book\n  brushfall book backup monday.book --force",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			path := bookPath(path)
			to := dated(path, "backup", time.Now())
			if len(args) == 1 {
				to = args[0]
			}
			b, err := store.Look(cmd.Context(), path)
			if err != nil {
				return err
			}
			r, err := b.Backup(cmd.Context(), to, force)
			if err := errors.Join(err, b.Close()); err != nil {
				return err
			}
			c := checkedOf(path, r)
			c.Copy = to
			return a.say(c, func(w *bytes.Buffer) { fmt.Fprintf(w, "%s is a sound copy: %s\n", to, c.contents()) })
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	cmd.Flags().BoolVar(&force, "force", false, "replace a file that is there already")
	return cmd
}

func (a *app) bookRestoreCommand() *cobra.Command {
	var path string
	cmd := &cobra.Command{
		Use:     "restore FILE",
		Short:   "Put a backup in the place of the book",
		Long:    "Check a backup and put it in the place of the book. The book as it was is kept\nbeside it first. A backup that is not sound changes nothing.",
		Example: "  brushfall book restore /media/stick/shop.book",
		Args:    oneArgument("the backup to restore"),
		RunE: func(cmd *cobra.Command, args []string) error {
			path := bookPath(path)
			aside := dated(path, "before-restore", time.Now())
			r, kept, err := store.Restore(cmd.Context(), args[0], path, aside)
			if err != nil {
				return err
			}
			c := checkedOf(path, r)
			if kept {
				c.Kept = aside
			}
			return a.say(c, func(w *bytes.Buffer) {
				fmt.Fprintf(w, "%s is restored: %s\n", path, c.contents())
				if kept {
					fmt.Fprintf(w, "The book as it was is kept in %s\n", aside)
				}
			})
		},
	}
	a.bookFlag(cmd.Flags(), &path)
	return cmd
}

// say answers a machine with a value, a person with text.
func (a *app) say(v any, text func(*bytes.Buffer)) error {
	if a.json {
		a.print(v)
		return nil
	}
	var b bytes.Buffer
	text(&b)
	_, err := b.WriteTo(a.out)
	return err
}

// kindFlags are those that name a kind of stone.
type kindFlags struct{ size, colour string }

func (k *kindFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&k.size, "size", "", "stone `SIZE`, such as SS10")
	cmd.Flags().StringVar(&k.colour, "colour", "", "stone colour, a `NAME` such as \"light sapphire\"")
	completeKinds(cmd)
}

// kind gives the kind that the flags name. A colour that is not built in is looked up
// in the book, where there is one; nothing is begun for it.
func (k kindFlags) kind(ctx context.Context, path string) (shop.Kind, error) {
	for _, f := range []struct{ name, value, like string }{{"--size", k.size, "SS10"}, {"--colour", k.colour, "crystal"}} {
		if f.value == "" {
			return shop.Kind{}, fault.New("usage", f.name, "say which stones: add %s, such as %s %s", f.name, f.name, f.like)
		}
	}
	kind, err := findKind(ctx, path, k.size, k.colour)
	flag := "--size"
	if fault.CodeOf(err) == "colour-unknown" {
		flag = "--colour"
	}
	return kind, at(flag, err)
}

// findKind is shop.NewKind that knows the colours of the book at path too.
func findKind(ctx context.Context, path, size, colour string) (shop.Kind, error) {
	kind, err := shop.NewKind(size, colour)
	if fault.CodeOf(err) != "colour-unknown" {
		return kind, err
	}
	if _, missing := os.Stat(bookPath(path)); missing != nil {
		return kind, err
	}
	failed := withStore(ctx, path, store.Open, func(b *store.Book) error {
		kind, err = b.Find(ctx, size, colour)
		return nil
	})
	return kind, errors.Join(err, failed)
}
