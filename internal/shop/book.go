package shop

import (
	"context"
	"time"
)

// Book keeps the shop. Every method is one transaction: it is done whole and
// stays, or is not done at all, whatever happens to the program or the machine.
// Several programs may use one book at once.
//
// Its faults, beyond those of the rules: "book-missing", "book-not" (the file is
// no book), "book-newer" (of a later program), "book-busy" (another program kept
// it too long), "book-damaged", "book-write" (the disk), "book-exists" (a copy is in
// the way), "book" (internal).
type Book interface {
	// Receive books what came in, all or nothing.
	Receive(ctx context.Context, at time.Time, receipts []Receipt) ([]Deed, error)
	// Change books one use, spoiling, count or move.
	Change(ctx context.Context, at time.Time, change Change) (Deed, error)
	// Stock gives every kind there ever was, in the order of CompareKinds.
	Stock(ctx context.Context) ([]Holding, error)
	// History gives the newest deeds, at most so many, newest first.
	History(ctx context.Context, most int) ([]Deed, error)

	// Weighed keeps what counted stones weighed; the shop learns its masses from it.
	Weighed(ctx context.Context, at time.Time, kind Kind, samples []Sample) error
	// Mass gives grams a piece by the shop's own weighings, and of how many stones;
	// 0 stones and the catalogue's mass where there are none.
	Mass(ctx context.Context, kind Kind) (grams float64, stones int, err error)
	// Overrun gives the shop's own, as Learn does.
	Overrun(ctx context.Context) (Overrun, error)

	// SetSupplier adds a supplier or changes its delivery.
	SetSupplier(ctx context.Context, s Supplier) error
	// Suppliers gives all, by name.
	Suppliers(ctx context.Context) ([]Supplier, error)
	// SetPack adds a pack, or changes the prices of the one of the same supplier,
	// kind, label and filling. The supplier is added where it is new.
	SetPack(ctx context.Context, p Pack) (Pack, error)
	// RemovePack forgets a pack; fault "pack" where there is none with that number.
	RemovePack(ctx context.Context, id int64) error
	// Packs gives all, by kind, supplier and label.
	Packs(ctx context.Context) ([]Pack, error)

	Close() error
}
