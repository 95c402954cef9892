package main

import (
	"context"

	"github.com/spf13/pflag"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/shop"
	"brushfall/internal/store"
)

// stonesFlag adds --book to a command that only takes the shop's own stones from it.
func stonesFlag(fs *pflag.FlagSet, path *string) {
	fs.StringVar(path, "book", "", "`FILE` of the shop's book, whose own colours can be named\n(default: the one in your data folder, if there is one)")
}

// readStones gives the stones that can be named: the built-in ones, and those of the
// book at path, or of the usual book where there is one. The book is only read.
func readStones(ctx context.Context, path string) (catalogue.Stones, error) {
	colours, err := ofTheBook(ctx, path, store.ReadColours)
	return shop.StonesOf(colours), err
}

// ofTheBook reads something of the book at path, or of the usual book where there is one,
// and else gives nothing.
func ofTheBook[T any](ctx context.Context, path string, read func(ctx context.Context, path string) (T, error)) (T, error) {
	got, err := read(ctx, bookPath(path))
	if fault.CodeOf(err) == "book-missing" && path == "" {
		var none T
		return none, nil
	}
	return got, err
}
