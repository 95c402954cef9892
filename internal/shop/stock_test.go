package shop

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

func TestTheOldestGoFirst(t *testing.T) {
	k := Kind{"SS10", "crystal"}
	shelf := []Part{{1, "shelf", 0}, {2, "shelf", 100}, {5, "shelf", 300}}
	got, err := Draw(k, shelf, 150)
	if want := []Part{{2, "shelf", -100}, {5, "shelf", -50}}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v", got, err)
	}
	if _, err := Draw(k, shelf, 401); fault.CodeOf(err) != "stock-short" {
		t.Error(err)
	}
	moved, err := Change{What: Moved, Kind: k, Pieces: 150, Place: "shelf", Towards: "market"}.Apply(shelf)
	if want := []Part{{2, "shelf", -100}, {5, "shelf", -50}, {2, "market", 100}, {5, "market", 50}}; err != nil || !slices.Equal(moved, want) {
		t.Errorf("%v, %v", moved, err)
	}
}

func TestACountSettles(t *testing.T) {
	k := Kind{"SS10", "crystal"}
	shelf := []Part{{1, "shelf", 100}, {2, "shelf", 300}}
	for _, c := range []struct {
		counted int
		want    []Part
	}{{400, nil}, {250, []Part{{1, "shelf", -100}, {2, "shelf", -50}}}, {412, []Part{{2, "shelf", 12}}}, {0, []Part{{1, "shelf", -100}, {2, "shelf", -300}}}} {
		got, err := Settle(k, shelf, c.counted)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%d: %v, %v", c.counted, got, err)
		}
	}
	if _, err := Settle(k, nil, 5); fault.CodeOf(err) != "count-lot" {
		t.Error(err)
	}
}

// A lot of 1,440 for 6.50 of which 500 were used and 40 were missing at a count: the
// 900 left cost 6.50 × 900 ÷ 1400 = 4.1786, worked by hand.
func TestValueOfALot(t *testing.T) {
	cost := money(t, "6.50")
	l := Lot{Cost: &cost, Gone: 500, Places: []Part{{1, "market", 100}, {1, "shelf", 800}}}
	if v, ok := l.Value(); !ok || v.String() != "4.1786" {
		t.Errorf("%s", v)
	}
	if v, ok := (Lot{Cost: &cost}).Value(); !ok || !v.IsZero() {
		t.Errorf("of nothing: %s", v)
	}
	h := Holding{Lots: []Lot{l, {Places: []Part{{2, "shelf", 5}}}}}
	if v, all := h.Value(); all || v.String() != "4.1786" || h.Pieces() != 905 {
		t.Errorf("%s %v %d", v, all, h.Pieces())
	}
}

// About 1,500 in a ten-gross pack of 1,440: common practice, until the shop counts.
func TestOverrunIsLearned(t *testing.T) {
	o := Learn(nil)
	if o.Expect(1440, ByWeight) != catalogue.PackByWeight || o.Expect(1440, ByPieces) != 1440 || o.Plan(1440, ByWeight) != 1440 || o.Lots != 0 {
		t.Errorf("%+v", o)
	}
	o = Learn([]Fill{{1440, 1512}, {1440, 1480}, {0, 5}})
	if o.Lots != 2 || math.Abs(o.Mean-2992.0/2880) > 1e-12 || o.Expect(1440, ByWeight) != 1496 {
		t.Errorf("%+v", o)
	}
	for found := 1; found < 3000; found++ { // the poorest pack's own label gives its own count back
		if got := Learn([]Fill{{1440, found}}).Plan(1440, ByWeight); got != found {
			t.Fatalf("%d was found, %d is planned with", found, got)
		}
	}
}

func TestMoneyIsReadExactly(t *testing.T) {
	for _, good := range []string{"6.50", "0", "0.0001", "1000000", " 12.5 "} {
		if m, err := ParseMoney(good); err != nil || fromTicks(ticks(m)).Cmp(m) != 0 {
			t.Errorf("%q: %v, %v", good, m, err)
		}
	}
	for _, bad := range []string{"", ".", "6,50", "-1", "1e3", "1000000.01", "0.00001", "£5", "1.2.3", "NaN", strings.Repeat("1", 400)} {
		if _, err := ParseMoney(bad); fault.CodeOf(err) != "money" {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func TestChangesAreMadeRegularOrRefused(t *testing.T) {
	c, err := Change{What: Moved, Pieces: 5, Place: " The  Shelf ", Towards: "", Note: " a\tb "}.Check()
	if err != nil || c.Place != "the shelf" || c.Towards != Shelf || c.Note != "a b" {
		t.Errorf("%+v, %v", c, err)
	}
	for code, bad := range map[string]Change{
		"pieces":       {What: Used},
		"text":         {What: Used, Pieces: 1, Note: "a\x00"},
		"move-nowhere": {What: Moved, Pieces: 1, Place: "Shelf"},
	} {
		if _, err := bad.Check(); fault.CodeOf(err) != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	if _, err := (Change{What: Counted}).Check(); err != nil {
		t.Error("an empty jar cannot be counted:", err)
	}
}

const table = "\ufeffPieces,Size,colour,cost,place\n1440,ss10,Crystal,6.50,\n500,SS6,light  sapphire,,Market\n"

func TestStockTable(t *testing.T) {
	good, bad, err := ReadStock(strings.NewReader(table), NewKind)
	if err != nil || len(bad) > 0 || len(good) != 2 {
		t.Fatal(good, bad, err)
	}
	if g := good[0]; g.Kind != (Kind{"SS10", "crystal"}) || g.Pieces != 1440 || g.Cost.String() != "6.5" || g.Place != Shelf {
		t.Errorf("%+v", g)
	}
	if g := good[1]; g.Kind.Colour != "light sapphire" || g.Cost != nil || g.Place != "market" {
		t.Errorf("%+v", g)
	}
}

// Every bad line is told, with its number, and the good ones between are read.
func TestEveryBadLineIsTold(t *testing.T) {
	_, bad, err := ReadStock(strings.NewReader("size,colour,pieces,cost\nSS11,jet,5,\nSS10,mud,5,\nSS10,jet,5,1\nSS10,jet,many,\nSS10,jet,-5,\nSS10,jet,5,1;50\nSS10,jet\n\"SS10,jet"), NewKind)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"line 2 size-unknown", "line 3 colour-unknown", "line 5 csv-line", "line 6 pieces", "line 7 money", "line 8 csv-line", "line 9 csv-line"}
	var got []string
	for _, e := range bad {
		where, _, _ := strings.Cut(e.Error(), ":")
		got = append(got, where+" "+fault.CodeOf(e))
	}
	if !slices.Equal(got, want) {
		t.Errorf("told %q, want %q", got, want)
	}
	for _, head := range []string{"", "size,colour\n", "size,colour,pieces,weight\n", "size,size,colour,pieces\n", "\"size"} {
		if _, _, err := ReadStock(strings.NewReader(head), NewKind); fault.CodeOf(err) != "csv-head" {
			t.Errorf("%q: %v", head, err)
		}
	}
}

func FuzzReadStock(f *testing.F) {
	f.Add([]byte(table))
	f.Add([]byte("size,colour,pieces\n\"a"))
	f.Fuzz(func(t *testing.T, text []byte) {
		good, bad, err := ReadStock(bytes.NewReader(text), NewKind)
		if err != nil && fault.CodeOf(err) == "" {
			t.Fatalf("an error that is no fault: %v", err)
		}
		for _, e := range bad {
			if fault.CodeOf(e) == "" || !strings.HasPrefix(e.Error(), "line ") {
				t.Fatalf("a bad line without its place: %v", e)
			}
		}
		for _, r := range good {
			if again, err := r.Check(); err != nil || again.Place != r.Place || again.Pieces < 1 {
				t.Fatalf("%+v, %v", r, err)
			}
		}
	})
}
