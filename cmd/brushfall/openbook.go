package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"sync"

	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
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

// designOfLayout makes a design of the book of a layout.json, as "job add" does of one
// in a folder.
func designOfLayout(text []byte) (shop.Design, error) {
	doc, err := design.Read(bytes.NewReader(text))
	if err != nil {
		return shop.Design{}, err
	}
	lines, err := count.Tally(doc.Stones, doc.Kinds, count.DefaultSpare)
	if err != nil {
		return shop.Design{}, err
	}
	sum := sha256.Sum256(text)
	out := shop.Design{Name: "design", Digest: hex.EncodeToString(sum[:])}
	for _, l := range lines {
		k, err := shop.NewKind(l.Size, l.Colour)
		if err != nil {
			return out, err
		}
		out.Stones = append(out.Stones, shop.Stones{Kind: k, Pieces: l.Pieces, Take: l.Take})
	}
	return withSheets(out, doc), nil
}
