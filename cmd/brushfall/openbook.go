package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"sync"

	"brushfall/internal/fault"
	"brushfall/internal/store"
	"brushfall/internal/web"
)

// openBook is the shop's book as the workbench has it open, from when it is first
// asked for.
type openBook struct {
	path string
	mu   sync.Mutex
	book *store.Book
}

// open gives the book, as web.OpenShop has it.
func (o *openBook) open(ctx context.Context, begin bool) (web.Shop, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.book != nil {
		return o.book, nil
	}
	open := store.Open
	if begin {
		open = store.Create
	}
	// The book stays open when the request that opened it has ended.
	b, err := open(context.WithoutCancel(ctx), bookPath(o.path))
	if fault.CodeOf(err) == "book-missing" && !begin {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	o.book = b
	return b, nil
}

// Check implements web.BookFile, as "brushfall book check" does.
func (o *openBook) Check(ctx context.Context) (web.BookReport, error) {
	b, err := store.Look(ctx, bookPath(o.path))
	if err != nil {
		return web.BookReport{}, err
	}
	r, err := b.Check(ctx)
	out := web.BookReport{Sound: len(r.Problems) == 0, Deeds: r.Deeds, Lots: r.Lots, Pieces: r.Pieces, Templates: r.Templates, Problems: append([]string{}, r.Problems...)}
	return out, errors.Join(err, b.Close())
}

// Backup implements web.BookFile, as "brushfall book backup" does. The copy is a file of
// its own, which closing it removes.
func (o *openBook) Backup(ctx context.Context) (io.ReadCloser, error) {
	b, err := store.Look(ctx, bookPath(o.path))
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "brushfall-")
	if err != nil {
		return nil, errors.Join(unwritable(os.TempDir(), err), b.Close())
	}
	path := filepath.Join(dir, "shop.book")
	_, err = b.Backup(ctx, path, false)
	if err = errors.Join(err, b.Close()); err == nil {
		var file *os.File
		if file, err = os.Open(path); err == nil {
			return passing{file, dir}, nil
		}
	}
	return nil, errors.Join(err, os.RemoveAll(dir))
}

// passing is a file that goes with its folder when it is closed.
type passing struct {
	*os.File
	dir string
}

// Close implements io.Closer.
func (p passing) Close() error { return errors.Join(p.File.Close(), os.RemoveAll(p.dir)) }

func (o *openBook) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.book != nil {
		_ = o.book.Close() // what was done in it is on the disk since then
	}
}
