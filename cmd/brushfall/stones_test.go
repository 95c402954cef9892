package main

import (
	"os"
	"strings"
	"testing"

	"brushfall/internal/office"
)

// A colour of the shop's own goes the whole way: entered in the book, named by a flag, a
// job file and a list, counted, printed, priced, promised, made and bought.
func TestOwnColourFromTheBookToTheShelf(t *testing.T) {
	pricedDesk(t)
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--colour", "Harbour Blue", "-o", "blue").wants(t, exitInput, "--colour", "there is no stone colour", "brushfall catalogue colour \"harbour blue\"")
	does(t, "catalogue", "colour", "Harbour Blue", "--shown", "#27567f", "--finish", "ab", "--sizes", "SS6,SS10")
	does(t, "make", "badge.svg", "--width", "60mm", "--colour", "harbour blue", "--effort", "live", "-o", "flagged")
	put(t, "badge.yaml", strings.ReplaceAll(badgeJob, "colour: sun", "colour: harbour blue"))
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "blue").wants(t, exitDone, "SS10 harbour blue")
	if text := get(t, "blue/layout.json"); !strings.Contains(text, `"colour":"harbour blue","diameter":2.9,"smallest":2.7,"hole":3.3,"height":1.2,"shown":"#27567f","finish":"ab"`) {
		t.Error("the record does not say how it looks")
	}
	has(t, "blue/ticket.pdf", "harbour blue")
	does(t, "paper", "proof", "blue", "-o", "proof.pdf")
	has(t, "proof.pdf", "harbour blue", "shimmers in all colours")
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--stone", "SS16", "--colour", "harbour blue", "-o", "large").wants(t, exitInput, "harbour blue does not come in SS16", "SS6 or SS10", "in the shop's catalogue")

	does(t, "stock", "receive", "--size", "SS10", "--colour", "harbour blue", "--gross", "10", "--cost", "7.20")
	does(t, "quote", "blue=12:garment")
	does(t, "quote", "show", "1", "--explain").wants(t, exitDone, "SS10 harbour blue")
	for _, from := range []string{"blue", "blue/counts.csv"} {
		does(t, "job", "add", from+"=2:shelf")
		var list office.BuyAnswer
		does(t, "buy", from+"=40", "--json").reads(t, &list)
		if len(list.Needs) != 2 || list.Needs[1].Colour != "harbour blue" || list.Needs[1].OnHand != 1440 {
			t.Errorf("%+v", list.Needs)
		}
	}
	does(t, "job", "promise", "1")
	does(t, "stock", "receive", "--size", "flock", "--colour", "sheet 12 x 20 in", "--pieces", "2", "--cost", "6")
	does(t, "stock", "receive", "--size", "tape", "--colour", "sheet 12 x 12 in", "--pieces", "5", "--cost", "3")
	does(t, "job", "make", "1")
	if left := pieces(t, "", "SS10", "harbour blue"); !(left > 0 && left < 1440) {
		t.Errorf("%d are left", left)
	}
	rows := found(t, "harbour")
	if len(rows) != 1 {
		t.Fatalf("%+v", rows)
	}
	does(t, "template", "label", rows[0].Code, "-o", "labels.pdf")
	has(t, "labels.pdf", "harbour blue")
	does(t, "book", "check").wants(t, exitDone, "is sound")

	put(t, "crew.yaml", strings.ReplaceAll(crewJob, "SS16", "SS10"))
	put(t, "crew.csv", strings.ReplaceAll(crewList, "jet", "harbour blue"))
	does(t, "roster", "crew.yaml", "crew.csv", "-o", "crew")
	does(t, "gang", "badge.yaml", "-o", "gang", "--effort", "live")
	has(t, "gang/ticket.pdf", "harbour blue")
}

// Making only reads the book: the one that was named must be there, the usual one need
// not, and neither a fault nor a run begins or changes one.
func TestMakingLeavesTheBookAlone(t *testing.T) {
	desk(t)
	brushfall(t, "make", "badge.yaml", "--effort", "live", "--book", "none.book", "-o", "out").wants(t, exitInput, "none.book", "there is no book")
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "out")
	if _, err := os.Stat(bookPath("")); err == nil {
		t.Error("making began a book")
	}
	does(t, "catalogue", "colour", "harbour blue", "--shown", "#27567f", "--book", "shop.book")
	before := get(t, "shop.book")
	does(t, "make", "badge.svg", "--width", "60mm", "--colour", "harbour blue", "--effort", "live", "--book", "shop.book", "-o", "blue")
	if get(t, "shop.book") != before {
		t.Error("making changed the book")
	}
	put(t, "other.book", "this is no book, but long enough for somebody to try")
	brushfall(t, "make", "badge.yaml", "--book", "other.book", "-o", "out").wants(t, exitInput, "other.book")
}
