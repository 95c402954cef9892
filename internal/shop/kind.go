// Package shop holds the rules of the shop's book: stock as a ledger that is
// only added to, lots with what they cost, suppliers and their packs, counting
// by weight, and what to buy. It has no database and no clock: what keeps the
// book implements Book, and the time is an argument.
//
// The codes of its faults: "size-unknown", "colour-unknown", "pieces", "place",
// "money", "text", "stock-short", "count-lot", "move-nowhere", "weigh-sample", "weigh-scale",
// "weigh-scatter", "pack", "pack-break", "supplier", "supplier-unknown",
// "buy-want", "buy-suppliers", "csv-head", "csv-line", "customer", "design", "job", "job-line",
// "destination", "price-list", "price-stones", "quote", and those of package price. Those of a book are with Book and the interfaces beside it.
package shop

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Kind is what the stock counts: a stone size in a colour, both as the catalogue
// writes them. For goods, Size is their class ("flock") and Colour their name in it;
// for transfers that were made for the shelf they are "transfer" and "design 3".
type Kind struct {
	Size   string `json:"size"`
	Colour string `json:"colour"`
}

// TransferClass is the Size of transfers.
const TransferClass = "transfer"

// TransferOf gives the kind of a design's transfers.
func TransferOf(design int64) Kind {
	return Kind{TransferClass, "design " + strconv.FormatInt(design, 10)}
}

// Design gives the design whose transfers the kind is; false for any other kind.
func (k Kind) Design() (int64, bool) {
	text, ok := strings.CutPrefix(k.Colour, "design ")
	id, err := strconv.ParseInt(text, 10, 64)
	return id, ok && err == nil && id > 0 && k == TransferOf(id)
}

// NewKind looks both names up. A name of goods or transfers is made regular; whether
// there are any is for the book to say. Faults: "size-unknown", "colour-unknown",
// "design-unknown", "text".
func NewKind(size, colour string) (Kind, error) {
	class := strings.ToLower(strings.TrimSpace(size))
	if class == TransferClass || slices.Contains(catalogue.Classes(), class) {
		return newGoodsKind(class, colour)
	}
	s, err := catalogue.FindSize(size)
	if err != nil {
		return Kind{}, err
	}
	c, err := catalogue.FindColour(colour)
	if err != nil {
		return Kind{}, err
	}
	return Kind{s.Name, c.Name}, nil
}

func newGoodsKind(class, name string) (Kind, error) {
	name, err := cleanText("the name", strings.ToLower(name))
	if err != nil {
		return Kind{}, err
	}
	k := Kind{class, name}
	switch _, ok := k.Design(); {
	case name == "":
		return k, fault.New("text", "", "give the name of the %s", class)
	case class == TransferClass && !ok:
		return k, fault.New("design-unknown", "", "%q is no design of the book; write transfers as \"design 3\", by its number", name)
	}
	return k, nil
}

// Stone says whether the kind is of stones.
func (k Kind) Stone() bool {
	return k.Size != TransferClass && !slices.Contains(catalogue.Classes(), k.Size)
}

// String gives "SS10 crystal".
func (k Kind) String() string { return k.Size + " " + k.Colour }

// Mass gives what one piece weighs by the catalogue, in grams; 0 for an unknown size.
func (k Kind) Mass() float64 {
	s, err := catalogue.FindSize(k.Size)
	if err != nil {
		return 0
	}
	return s.Mass
}

// MostPieces bounds the pieces of one deed: ten million, some 140 kg of SS10, is
// more than such a shop ever holds, and keeps every sum far inside an int64.
const MostPieces = 10_000_000

// Shelf is the place where stones are when none is named.
const Shelf = "shelf"

// longestText bounds names and notes, in letters.
const longestText = 200

// checkPieces refuses a number of pieces below least or beyond MostPieces, code "pieces".
func checkPieces(n, least int) error {
	if n < least || n > MostPieces {
		return fault.New("pieces", "", "%d pieces cannot be; give %d to %d", n, least, MostPieces)
	}
	return nil
}

// cleanText gives a name or a note with single blanks, and refuses what is too
// long or does not print, code "text".
func cleanText(what, s string) (string, error) {
	if !utf8.ValidString(s) || strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && !unicode.IsSpace(r) }) {
		return "", fault.New("text", "", "%s %q has signs that do not print; leave them out", what, s)
	}
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) > longestText {
		return "", fault.New("text", "", "%s is longer than %d letters; shorten it", what, longestText)
	}
	return s, nil
}

// cleanPlace gives a place's name in small letters, Shelf for none.
func cleanPlace(s string) (string, error) {
	s, err := cleanText("the place", s)
	if err != nil {
		return "", err
	}
	if s == "" {
		return Shelf, nil
	}
	return strings.ToLower(s), nil
}

// CleanNote gives a note with single blanks. Fault "text".
func CleanNote(s string) (string, error) { return cleanText("the note", s) }
