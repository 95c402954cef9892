package main

import (
	"context"
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

func (o *openBook) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.book != nil {
		_ = o.book.Close() // what was done in it is on the disk since then
	}
}
