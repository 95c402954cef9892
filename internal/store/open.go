// Package store keeps the shop's book in one SQLite file. It implements
// shop.Book; the rules are shop's, and the file guards the ledger with triggers of
// its own. It is the only package that knows SQL.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// patience is how long a transaction waits for that of another program, in
// milliseconds: longer than any of ours takes on a slow disk.
const patience = 20_000

// Book is an open book. It holds one connection, so that this program has one
// writer; SQLite keeps the writers of several programs apart.
type Book struct {
	path string
	db   *sql.DB
}

var _ shop.Book = (*Book)(nil)

// Create opens the book at path and begins one, with its folder, where there is
// none. It brings the schema up to this program's. Faults as of shop.Book.
func Create(ctx context.Context, path string) (*Book, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return nil, writeFault(path, err)
	}
	return open(ctx, path)
}

// Open is Create for a book that must be there already, fault "book-missing".
func Open(ctx context.Context, path string) (*Book, error) {
	if err := there(path); err != nil {
		return nil, err
	}
	return open(ctx, path)
}

func there(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fault.New("book-missing", path, "there is no book; check the name, or begin one with brushfall stock receive").
			OnPage("there is no book; it begins with the first thing that you book")
	case err != nil:
		return fault.New("book-missing", path, "the book cannot be reached: %v", err)
	case info.IsDir():
		return fault.New("book-not", path, "this is a folder; name the book's file in it")
	}
	return nil
}

func open(ctx context.Context, path string) (*Book, error) {
	b, err := connect(path, "rwc",
		fmt.Sprintf("busy_timeout(%d)", patience), "foreign_keys(1)", "recursive_triggers(1)",
		// FULL: a committed deed outlives a power cut, not only the end of the program.
		"synchronous(FULL)")
	if err != nil {
		return nil, err
	}
	if err := b.begin(ctx); err != nil {
		_ = b.Close()
		return nil, b.wrap(err)
	}
	return b, nil
}

// begin looks at the file before it changes anything in it.
func (b *Book) begin(ctx context.Context) error {
	if err := b.recognise(ctx); err != nil {
		return err
	}
	if err := b.migrate(ctx, latest); err != nil {
		return err
	}
	return nil
}

// recognise refuses a SQLite file that is no book. An empty one becomes a book.
func (b *Book) recognise(ctx context.Context) error {
	var id, tables int
	err := b.db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id), COUNT(*) FROM sqlite_schema WHERE name <> 'goose_db_version' AND name NOT LIKE 'sqlite_%'`).Scan(&id, &tables)
	if err != nil {
		return err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return fault.New("book-not", b.path, "this is a database of another program, not a shop's book; name another file")
	}
	return nil
}

// applicationID is that of the first migration.
const applicationID = 0x42667368

// address gives a file's URI for SQLite, whatever signs its name has.
func address(path string, query url.Values) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", fault.New("book-missing", path, "the book cannot be reached: %v", err)
	}
	slashed := filepath.ToSlash(abs)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // a Windows drive
	}
	uri := url.URL{Scheme: "file", Path: slashed, RawQuery: query.Encode()}
	return uri.String(), nil
}

// connect opens a file with one connection and the pragmas given; mode is that of
// SQLite's URIs.
func connect(path, mode string, pragmas ...string) (*Book, error) {
	uri, err := address(path, url.Values{"mode": {mode}, "_txlock": {"immediate"}, "_pragma": pragmas})
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", uri)
	if err != nil {
		return nil, fault.Wrap("book", err)
	}
	db.SetMaxOpenConns(1)
	return &Book{path: path, db: db}, nil
}

// Close ends the use of the book.
func (b *Book) Close() error {
	if err := b.db.Close(); err != nil {
		return b.wrap(err)
	}
	return nil
}

// wrap turns what SQLite says into a fault; faults pass.
func (b *Book) wrap(err error) error {
	if err == nil || fault.CodeOf(err) != "" || errors.Is(err, context.Canceled) {
		return err
	}
	e, ok := errors.AsType[*sqlite.Error](err)
	if !ok {
		return fault.Wrap("book", err)
	}
	switch e.Code() & 0xff { // the rest of the code is detail
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fault.New("book-busy", b.path, "another program has kept the book for more than %d s; end it, or try again", patience/1000)
	case sqlite3.SQLITE_NOTADB:
		return fault.New("book-not", b.path, "this is no shop's book; name another file")
	case sqlite3.SQLITE_CORRUPT:
		return fault.New("book-damaged", b.path, "the file is damaged (%v); restore a backup: brushfall book restore", err).
			OnPage("the file is damaged (%v); end the workbench and restore a backup in a terminal", err)
	case sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return writeFault(b.path, err)
	}
	return fault.Wrap("book", fmt.Errorf("%s: %w", b.path, err))
}

func writeFault(path string, err error) error {
	return fault.New("book-write", path, "the book cannot be written: %v; look at the disk's room and the folder's permissions", err)
}

// within runs a transaction. It takes the writer's lock at its beginning, so what
// it reads is what it changes.
func (b *Book) within(ctx context.Context, do func(tx *sql.Tx) error) error {
	tx, err := b.db.BeginTx(ctx, nil)
	if err != nil {
		return b.wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // nothing, once committed
	if err := do(tx); err != nil {
		return b.wrap(err)
	}
	return b.wrap(tx.Commit())
}
