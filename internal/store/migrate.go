package store

import (
	"context"
	"embed"
	"io/fs"

	"github.com/pressly/goose/v3"

	"brushfall/internal/fault"
)

//go:embed migrations/*.sql
var migrations embed.FS

// latest is the schema this program writes, the number of the last migration.
const latest = 10

// withGoods is the schema from which on the book has the shop's own goods, which
// reservations are worked out from.
const withGoods = 7

// attempts is how often a migration is begun anew when another program did it in
// the meantime: each failure means that the other got on by a step.
const attempts = 2*latest + 4

func (b *Book) provider() (*goose.Provider, error) {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, b.db, files, goose.WithDisableGlobalRegistry(true))
}

// migrate brings the schema forward to a version, each migration in a transaction of
// its own. Two programs may do so at once: the one that comes second to a step
// fails in it, finds it done and goes on. Fault "book-newer" for a schema beyond latest.
func (b *Book) migrate(ctx context.Context, to int64) error {
	p, err := b.provider()
	if err != nil {
		return err
	}
	for try := 1; ; try++ {
		err = b.step(ctx, p, to)
		if err == nil || fault.CodeOf(err) != "" || ctx.Err() != nil || try == attempts {
			return err
		}
	}
}

func (b *Book) step(ctx context.Context, p *goose.Provider, to int64) error {
	at, err := b.version(ctx)
	if err != nil {
		return err
	}
	if at > latest {
		return fault.New("book-newer", b.path, "the book was written by a later version of the program (schema %d, this one knows %d); use that", at, latest)
	}
	if _, err := b.db.ExecContext(ctx, "PRAGMA journal_mode = WAL"); err != nil {
		return err
	}
	if at >= to {
		return nil
	}
	_, err = p.UpTo(ctx, to)
	return err
}

// version gives the schema's number, 0 for none, without changing anything.
func (b *Book) version(ctx context.Context) (int64, error) {
	var tables int
	if err := b.db.QueryRowContext(ctx, `SELECT COUNT(*) FROM sqlite_schema WHERE name = 'goose_db_version'`).Scan(&tables); err != nil || tables == 0 {
		return 0, err
	}
	var at int64
	err := b.db.QueryRowContext(ctx, `SELECT COALESCE(MAX(version_id), 0) FROM goose_db_version WHERE is_applied = 1`).Scan(&at)
	return at, err
}
