package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"

	"brushfall/internal/fault"
)

// Backup writes a copy of the book, as it is at one moment while others may go on
// writing, to path. The copy is written beside it under another name, checked and
// renamed, so that what stands at path is whole at every moment; over says that a
// file already there may be replaced. Faults: "book-exists", "book-damaged" for a
// book that is not sound, "book-write".
func (b *Book) Backup(ctx context.Context, path string, over bool) (Report, error) {
	if same(path, b.path) {
		return Report{}, fault.New("book-exists", path, "this is the book itself; name another file for the copy")
	}
	if _, err := os.Lstat(path); err == nil && !over {
		return Report{}, fault.New("book-exists", path, "this file is there already; name another, or add --force to replace it")
	}
	// SQLite would take a log that another file of that name left for this one's.
	for _, log := range []string{path + "-wal", path + "-journal"} {
		if _, err := os.Lstat(log); err == nil {
			return Report{}, fault.New("book-exists", log, "this is the log of another book of that name, in use or ended half way; name another file for the copy")
		}
	}
	dir, err := os.MkdirTemp(filepath.Dir(path), ".brushfall-")
	if err != nil {
		return Report{}, writeFault(path, err)
	}
	defer os.RemoveAll(dir)
	staged := filepath.Join(dir, "book")
	// A book that is open to look at may be copied; VACUUM asks for leave to write.
	if _, err := b.db.ExecContext(ctx, `PRAGMA query_only = 0`); err != nil {
		return Report{}, b.wrap(err)
	}
	// VACUUM INTO reads in one transaction and writes a whole new file.
	if _, err := b.db.ExecContext(ctx, `VACUUM INTO ?`, staged); err != nil {
		return Report{}, b.wrap(err)
	}
	r, err := verify(ctx, staged)
	if err != nil {
		return r, fault.Placed(err, func(string) string { return b.path })
	}
	if err := settle(staged, path); err != nil {
		return r, writeFault(path, err)
	}
	return r, nil
}

// verify looks at a copy that nobody else has.
func verify(ctx context.Context, path string) (Report, error) {
	c, err := Look(ctx, path)
	if err != nil {
		return Report{}, err
	}
	r, err := c.sound(ctx)
	return r, errors.Join(err, c.Close())
}

// settle brings a file to the disk before it gets its name, and then the name.
func settle(from, to string) error {
	f, err := os.OpenFile(from, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(from, to); err != nil {
		return err
	}
	if d, err := os.Open(filepath.Dir(to)); err == nil {
		_ = d.Sync() // not every system has it for folders
		_ = d.Close()
	}
	return nil
}

// Restore puts the backup at from in the place of the book at path, after a check
// of the backup: one that is not sound changes nothing. Where there is a book at
// path it is kept at aside first, and then written over in one transaction, so that
// programs that have it open see the old one or the new one, never half of each;
// kept says that there was one. Faults: those of Look for the backup,
// "book-damaged", "book-exists" where aside is there already or the backup is the
// book itself, "book-write".
func Restore(ctx context.Context, from, path, aside string) (r Report, kept bool, err error) {
	if r, err = verify(ctx, from); err != nil {
		return r, false, err
	}
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		r, err = begin(ctx, from, path)
		return r, false, err
	}
	if same(from, path) {
		return r, false, fault.New("book-exists", from, "this is the book itself; name a backup of it")
	}
	b, err := connect(path, "rw", fmt.Sprintf("busy_timeout(%d)", patience), "synchronous(FULL)")
	if err != nil {
		return r, false, err
	}
	defer b.Close()
	if err := b.keep(ctx, aside); err != nil {
		return r, false, err
	}
	return r, true, b.wrap(b.overwrite(ctx, from))
}

// same says whether two names are of one file.
func same(a, b string) bool {
	one, err := os.Stat(a)
	other, err2 := os.Stat(b)
	return err == nil && err2 == nil && os.SameFile(one, other)
}

// begin restores to where there is no book.
func begin(ctx context.Context, from, path string) (Report, error) {
	backup, err := Look(ctx, from)
	if err != nil {
		return Report{}, err
	}
	defer backup.Close()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return Report{}, writeFault(path, err)
	}
	return backup.Backup(ctx, path, false)
}

// keep puts the book aside. One that is damaged is kept file by file, as it is.
func (b *Book) keep(ctx context.Context, aside string) error {
	if err := b.recognise(ctx); fault.CodeOf(err) == "book-not" {
		return err
	}
	_, err := b.Backup(ctx, aside, false)
	switch fault.CodeOf(err) {
	case "book-damaged", "book-not":
		text, err := os.ReadFile(b.path)
		if err == nil {
			err = os.WriteFile(aside, text, 0o666)
		}
		if err != nil {
			return writeFault(aside, err)
		}
		return nil
	}
	return err
}

// restorer is what SQLite's driver gives for its online backup, backwards.
type restorer interface {
	NewRestore(from string) (*sqlite.Backup, error)
}

// tries is how often one program's transaction is waited out; each waits for
// patience.
const tries = 3

// overwrite copies all pages of the file from over the book's in one transaction.
func (b *Book) overwrite(ctx context.Context, from string) error {
	uri, err := address(from, url.Values{"mode": {"rw"}})
	if err != nil {
		return err
	}
	conn, err := b.db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error {
		r, ok := c.(restorer)
		if !ok {
			return fault.New("book", b.path, "this build's SQLite has no online backup")
		}
		var err error
		for range tries {
			var copying *sqlite.Backup
			if copying, err = r.NewRestore(uri); err != nil {
				return err
			}
			_, err = copying.Step(-1)
			err = errors.Join(err, copying.Finish())
			if err == nil {
				return nil
			}
		}
		return err
	})
}
