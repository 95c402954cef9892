package shop

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/fault"
)

// What stones are worth: 1,440 for 6.50 of which 500 were used and 40 missing leave
// 900 worth 4.1786 (the example of docs/formats/book.md); then the cheapest pack for
// each stone; then the last lot.
func TestWhatStonesAreWorth(t *testing.T) {
	cost := money(t, "6.50")
	kind := Kind{"SS10", "crystal"}
	lot := Lot{Kind: kind, Labelled: 1440, Cost: &cost, Gone: 500, Places: []Part{{1, Shelf, 900}}}
	unknown := Lot{Kind: kind, Places: []Part{{2, Shelf, 100}}}
	packs := []Pack{
		{Supplier: "Reed", Kind: kind, Labelled: 1440, Filled: ByPieces, Breaks: []Break{{1, money(t, "6.00")}, {10, money(t, "5")}}},
		{Supplier: "Marsh", Kind: kind, Labelled: 144, Filled: ByPieces, Breaks: []Break{{1, money(t, "0.59")}}},
		{Supplier: "Heron", Kind: Kind{"SS6", "jet"}, Labelled: 144, Filled: ByPieces, Breaks: []Break{{1, money(t, "0.10")}}},
	}
	over := Learn(nil)
	w, ok := Worth(kind, []Holding{{kind, []Lot{lot, unknown}}}, packs, over)
	if !ok || w.Value.String() != "4.1786" || w.Of != 900 || w.Source != "lots on hand" {
		t.Errorf("%+v", w)
	}
	lot.Places = nil
	w, ok = Worth(kind, []Holding{{kind, []Lot{lot, unknown}}}, packs, over)
	if !ok || w.Value.String() != "0.59" || w.Of != 144 || w.Source != "pack of Marsh" { // 0.00410 a stone, not 0.00417
		t.Errorf("%+v", w)
	}
	w, ok = Worth(kind, []Holding{{kind, []Lot{lot, unknown}}}, nil, over)
	if !ok || w.Value.String() != "6.5" || w.Of != 1440 || w.Source != "as last bought" {
		t.Errorf("%+v", w)
	}
	_, err := WorthAll([]Want{{kind, 5}, {Kind{"SS6", "siam"}, 1}, {Kind{"SS6", "rose"}, 1}}, nil, packs, over)
	if e, ok := err.(*fault.Error); !ok || e.Code != "price-stones" || e.Where != "SS6 siam, SS6 rose" {
		t.Error(err)
	}
}

func TestPriceTable(t *testing.T) {
	good, bad, err := ReadPrices(strings.NewReader("From,design,for,price\n1, Heron  badge ,Disc,6.50\n12,Heron badge,disc,5.95\n"))
	if err != nil || len(bad) > 0 || len(good) != 2 || good[0].Design != "Heron badge" || good[0].For != "disc" {
		t.Fatal(good, bad, err)
	}
	var out bytes.Buffer
	if err := WritePrices(&out, good); err != nil || out.String() != "design,for,from,price\r\nHeron badge,disc,1,6.5\r\nHeron badge,disc,12,5.95\r\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
	for quantity, want := range map[int]string{1: "6.5", 11: "6.5", 12: "5.95", 500: "5.95"} {
		if p, ok := PriceOf(good, "Heron badge", "disc", quantity); !ok || p.String() != want {
			t.Errorf("%d pieces: %s", quantity, p)
		}
	}
	_, bad, err = ReadPrices(strings.NewReader("design,for,from,price\nHeron,disc,1,5\nHeron,disc,0,5\n,disc,1,5\nHeron,disc,many,5\nHeron,disc,2,5;50\nHeron,disc,1,6\nHeron,disc,1\n"))
	var got []string
	for _, e := range bad {
		where, _, _ := strings.Cut(e.Error(), ":")
		got = append(got, where+" "+fault.CodeOf(e))
	}
	want := []string{"line 3 price-list", "line 4 price-list", "line 5 csv-line", "line 6 money", "line 7 csv-line", "line 8 csv-line"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("told %q, want %q; %v", got, want, err)
	}
	if _, _, err := ReadPrices(strings.NewReader("design,for,price\n")); fault.CodeOf(err) != "csv-head" {
		t.Error(err)
	}
}

func FuzzReadPrices(f *testing.F) {
	f.Add([]byte("design,for,from,price\nHeron,disc,1,5\n"))
	f.Add([]byte("price,from,for,design\n5,1,disc,\"a\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		good, bad, err := ReadPrices(bytes.NewReader(text))
		if err != nil && fault.CodeOf(err) == "" {
			t.Fatalf("an error that is no fault: %v", err)
		}
		for _, e := range bad {
			if fault.CodeOf(e) == "" || !strings.HasPrefix(e.Error(), "line ") {
				t.Fatalf("a bad line without its place: %v", e)
			}
		}
		var out bytes.Buffer
		if err := WritePrices(&out, good); err != nil {
			t.Fatal(err)
		}
		again, bad, err := ReadPrices(&out)
		if err != nil || len(bad) > 0 || len(again) != len(good) {
			t.Fatalf("%+v came back as %+v, %v, %v", good, again, bad, err)
		}
	})
}

// 10 sheets of flock for 65 are 6.50 each; a roll piece of half the area at 0.60 is
// 1.20 for the sheet of 12 × 12 in; what nothing is known of is left out.
func TestWhatSheetsCost(t *testing.T) {
	cost, half := money(t, "65"), money(t, "0.60")
	goods := []Goods{
		{Class: "flock", Name: "white", Width: 304.8, Height: 508, Usual: true},
		{Class: "film", Name: "half", Width: 152.4, Height: 304.8, Cost: &half},
		{Class: "tape", Name: "clear"},
	}
	k := goods[0].Kind()
	stock := []Holding{{k, []Lot{{Kind: k, Labelled: 10, Cost: &cost, Places: []Part{{1, Shelf, 10}}}}}}
	got := Sheets(goods, stock, nil, Learn(nil))
	if len(got) != 2 || got["flock"].Text != "6.5" || got["flock"].Source != "white, lots on hand" || got["film"].Text != "1.2" {
		t.Errorf("%+v", got)
	}
}
