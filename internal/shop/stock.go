package shop

import (
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

// What says what a deed did to the stock.
type What string

// The deeds.
const (
	Received What = "received" // came in, as a lot of its own
	Used     What = "used"     // went into transfers
	Counted  What = "counted"  // a count, which put the ledger right
	Spoiled  What = "spoiled"  // chipped, lost, swept up
	Moved    What = "moved"    // went from one place to another
)

// Filled says how a pack was filled.
type Filled string

// The ways of filling.
const (
	ByPieces Filled = "pieces"
	ByWeight Filled = "weight" // runs over: see Overrun
)

// Receipt is stones that come in. Labelled is what the label says they are, in
// pieces; Pieces what is booked, which differs for packs filled by weight. Cost
// is that of the whole lot, nil where nobody knows it.
type Receipt struct {
	Kind     Kind
	Labelled int
	Pieces   int
	Filled   Filled
	Place    string
	Supplier string
	Cost     *Money
	Note     string
}

// Check gives the receipt with its texts made regular. Faults: "pieces", "text", "money".
func (r Receipt) Check() (Receipt, error) {
	for _, n := range []int{r.Labelled, r.Pieces} {
		if err := checkPieces(n, 1); err != nil {
			return r, err
		}
	}
	if r.Cost != nil {
		if err := checkMoney(*r.Cost); err != nil {
			return r, err
		}
	}
	if r.Filled == "" {
		r.Filled = ByPieces
	}
	var err error
	if r.Place, err = cleanPlace(r.Place); err != nil {
		return r, err
	}
	if r.Supplier, err = cleanText("the supplier", r.Supplier); err != nil {
		return r, err
	}
	r.Note, err = cleanText("the note", r.Note)
	return r, err
}

// Change is stones of a kind used, spoiled, counted or moved at a place. Pieces
// are those taken or moved, or for a count those that are there. Lot picks one
// lot, 0 means any: the oldest stones go first. Towards is where moved ones go.
type Change struct {
	What    What
	Kind    Kind
	Pieces  int
	Place   string
	Towards string
	Lot     int64
	Note    string
}

// Check gives the change with its texts made regular. Faults: "pieces", "text",
// "move-nowhere".
func (c Change) Check() (Change, error) {
	least := 1
	if c.What == Counted {
		least = 0 // a jar may turn out to be empty
	}
	if err := checkPieces(c.Pieces, least); err != nil {
		return c, err
	}
	var err error
	if c.Place, err = cleanPlace(c.Place); err != nil {
		return c, err
	}
	if c.Note, err = cleanText("the note", c.Note); err != nil {
		return c, err
	}
	if c.What != Moved {
		return c, nil
	}
	if c.Towards, err = cleanPlace(c.Towards); err != nil {
		return c, err
	}
	if c.Towards == c.Place {
		return c, fault.New("move-nowhere", "", "the stones are at %q already; name another place to move them to", c.Place)
	}
	return c, nil
}

// Part is stones of one lot at one place; Pieces may be negative where they go.
type Part struct {
	Lot    int64
	Place  string
	Pieces int
}

// Deed is one thing done to the stock, as the ledger has it. Pieces is what was
// said: those received, used, spoiled or moved, or those that a count found.
// Parts are what it did to the lots.
type Deed struct {
	ID      int64
	At      time.Time
	What    What
	Kind    Kind
	Pieces  int
	Place   string
	Towards string
	Note    string
	Parts   []Part
}

// Lot is stones that came in together. Gone are those used or spoiled so far.
type Lot struct {
	ID       int64
	Kind     Kind
	At       time.Time
	Supplier string
	Labelled int
	Filled   Filled
	Cost     *Money
	Gone     int
	Places   []Part // where pieces are on hand, by place's name
}

// OnHand gives the pieces of the lot that are there, over all places.
func (l Lot) OnHand() int {
	n := 0
	for _, p := range l.Places {
		n += p.Pieces
	}
	return n
}

// Value gives what the pieces on hand cost: the lot's cost, shared evenly by the
// pieces that turned out to be in it, which are those on hand and those used or
// spoiled. Stones that a count found or missed so change what each has cost, and
// the whole never exceeds the lot's cost. Rounded half away from zero to four
// decimals; false where the cost is not known.
func (l Lot) Value() (Money, bool) {
	if l.Cost == nil {
		return decimal.Zero, false
	}
	return l.share(l.OnHand()), true
}

func (l Lot) share(pieces int) Money {
	return ShareOf(*l.Cost, pieces, l.OnHand()+l.Gone)
}

// ShareOf gives what so many pieces cost of a lot with so many in it, as Lot.Value
// has it; nothing of an empty lot.
func ShareOf(cost Money, pieces, in int) Money {
	if in == 0 {
		return decimal.Zero
	}
	return cost.Mul(decimal.NewFromInt(int64(pieces))).DivRound(decimal.NewFromInt(int64(in)), moneyPlaces)
}

// Holding is all there is of a kind: its lots, oldest first. A kind that has run
// out has lots without pieces.
type Holding struct {
	Kind Kind
	Lots []Lot
}

// Pieces gives the pieces on hand, over all lots and places.
func (h Holding) Pieces() int {
	n := 0
	for _, l := range h.Lots {
		n += l.OnHand()
	}
	return n
}

// Value adds the values of the lots up; false where a lot with pieces has no
// known cost, which is then left out.
func (h Holding) Value() (Money, bool) {
	sum, all := decimal.Zero, true
	for _, l := range h.Lots {
		v, ok := l.Value()
		sum = sum.Add(v)
		all = all && (ok || l.OnHand() == 0)
	}
	return sum, all
}
