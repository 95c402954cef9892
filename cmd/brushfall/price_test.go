package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/office"
)

// pricedDesk is a desk with a book that knows what the badge's stones cost, and what
// an hour and the materials do; the badge is made in "out".
func pricedDesk(t *testing.T) {
	t.Helper()
	desk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	for _, k := range []string{"SS10 crystal", "SS10 sun", "SS6 crystal"} {
		size, colour, _ := strings.Cut(k, " ")
		does(t, "stock", "receive", "--size", size, "--colour", colour, "--gross", "10", "--cost", "7.20") // 0.005 a stone
	}
	does(t, "price", "set", "labour=18", "flock=6.50", "tape=0.80", "film=1.10", "rounding=up 0.05", "currency=GBP")
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "out")
}

func TestSettingPrices(t *testing.T) {
	shopDesk(t)
	does(t, "price", "set", "Labour=18", "target=markup 60%", "card=1.9% + 0.25").wants(t, exitDone, "labour", "set by the shop")
	does(t, "price", "time", "brush", "30", "--times", "2")
	does(t, "price", "time", "brush", "70", "--times", "3").wants(t, exitDone, "20", "timed by the shop: 5 in all, 100 s")
	does(t, "price", "set", "labour=21", "weed=default")
	does(t, "price", "show").wants(t, exitDone, "21", "markup 60%", "(from memory)", "(not set)")
	does(t, "price", "show", "--history").wants(t, exitDone, "18", "21", "70 s for 3", "back to the default")
	var rows []office.SettingRow
	does(t, "price", "show", "--json").reads(t, &rows)
	for _, r := range rows {
		if r.Name == "flock" && (r.Value != nil || r.Source != "not set") || r.Name == "labour" && *r.Value != "21" {
			t.Errorf("%+v", r)
		}
	}
	for args, code := range map[string]string{
		"set lunch=1":           "price-setting",
		"set labour=much":       "price-value",
		"set labour":            "usage",
		"set rounding=up_0.001": "price-value",
		"time labour 5":         "price-value",
		"time brush":            "usage",
		"time brush 5 -x":       "usage",
	} {
		words := strings.Fields(args)
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "_", " ")
		}
		o := brushfall(t, append([]string{"price"}, append(words, "--json")...)...)
		if o.code != exitInput || !strings.Contains(o.stdout+o.stderr, code) && code != "usage" {
			t.Errorf("%s: exit %d, %s%s", args, o.code, o.stdout, o.stderr)
		}
	}
}

func TestThePriceListGoesOutAndIn(t *testing.T) {
	pricedDesk(t)
	does(t, "price", "list").wants(t, exitDone, "No prices yet")
	does(t, "price", "set", "breaks=12:5%, 50:10%")
	var rows []listedRow
	does(t, "price", "list", "out:disc:disc 3 in", "--blank", "disc 3 in=1.40", "--fees", "card", "--keep", "--json").reads(t, &rows)
	if len(rows) != 3 || rows[0].From != 1 || rows[2].From != 50 || rows[0].Price <= rows[1].Price || rows[0].Cost == nil {
		t.Fatalf("%+v", rows)
	}
	does(t, "price", "export", "-o", "prices.csv")
	table := get(t, "prices.csv")
	if !strings.HasPrefix(table, "design,for,from,price\r\nbadge,disc 3 in,1,") || strings.Count(table, "\r\n") != 4 {
		t.Errorf("%q", table)
	}
	does(t, "price", "import", "prices.csv", "--dry-run").wants(t, exitDone, "all rows are good", "0 prices new or changed")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile("new.csv", []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("design,for,from,price\nbadge,disc 3 in,1,19.99\nbadge,disc 3 in,x,1\nbadge,disc 3 in,1,2\n")
	brushfall(t, "price", "import", "new.csv", "--dry-run").wants(t, exitInput, "line 3", "line 4", "2 of 3 rows are wrong")
	write("design,for,from,price\nbadge,disc 3 in,1,19.99\n")
	does(t, "price", "import", "new.csv", "--whole", "--dry-run").wants(t, exitDone, "1 price new or changed, 2 prices taken off")
	does(t, "price", "list").wants(t, exitDone, "50")
	does(t, "price", "import", "new.csv", "--whole").wants(t, exitDone, "+ badge, disc 3 in, from 1: 19.99")
	var list []listedRow
	does(t, "price", "list", "--json").reads(t, &list)
	if len(list) != 1 || list[0].Price != "19.99" {
		t.Errorf("%+v", list)
	}
	brushfall(t, "price", "list", "out:bow:bow").wants(t, exitInput, "not known what this costs")
	does(t, "stock", "count", "--size", "SS10", "--colour", "sun", "--pieces", "0")
	does(t, "price", "list", "out").wants(t, exitDone) // as last bought
}

// Sheets and blanks cost what the shop's lots did, or what its catalogue says, where
// no setting says other: 10 sheets of flock for 65, half-size sheets of film for 0.60.
func TestMaterialsCostWhatTheBookKnows(t *testing.T) {
	pricedDesk(t)
	does(t, "price", "set", "flock=default", "tape=default", "film=default")
	brushfall(t, "quote", "out:decal").wants(t, exitInput, "flock, tape, film")
	does(t, "stock", "receive", "--size", "flock", "--colour", "sheet 12 x 20 in", "--pieces", "10", "--cost", "65")
	does(t, "catalogue", "add", "tape", "sheet 12 x 12 in", "--cost", "0.75")
	does(t, "catalogue", "add", "film", "half sheet", "--width", "152.4mm", "--height", "304.8mm", "--cost", "0.60", "--usual")
	does(t, "catalogue", "add", "blank", "disc 3 in", "--cost", "1.40")
	var rows []office.SettingRow
	does(t, "price", "show", "--json").reads(t, &rows)
	want := map[string][2]string{
		"flock": {"6.5", "sheet 12 x 20 in, lots on hand"},
		"tape":  {"0.75", "sheet 12 x 12 in, catalogue of the shop"},
		"film":  {"1.2", "half sheet, catalogue of the shop"},
	}
	for _, r := range rows {
		if w, ok := want[r.Name]; ok && (r.Value == nil || *r.Value != w[0] || r.Source != w[1]) {
			t.Errorf("%+v, want %v", r, w)
		}
	}
	does(t, "quote", "out:disc:Disc 3 in", "--explain").wants(t, exitDone, "disc 3 in  ", "1.4000", "catalogue of the shop")
	does(t, "stock", "receive", "--size", "blank", "--colour", "disc 3 in", "--pieces", "20", "--cost", "30")
	does(t, "quote", "out:disc:disc 3 in", "--explain").wants(t, exitDone, "1.5000", "lots on hand")
	does(t, "price", "set", "flock=9")
	does(t, "price", "show").wants(t, exitDone, "9 ", "set by the shop")
}

// A transfer that was made for the shelf is quoted at what went into it.
func TestQuotingFromTheShelf(t *testing.T) {
	pricedDesk(t)
	does(t, "job", "add", "out=2:shelf")
	does(t, "job", "promise", "1")
	does(t, "job", "make", "1")
	q := quoteOf(t, "out=1:garment", "--from-shelf", "--dry-run")
	var stock []holdingRow
	does(t, "stock", "list", "--json").reads(t, &stock)
	for _, h := range stock {
		if h.Size != "transfer" {
			continue
		}
		each := decimal.RequireFromString(*h.Value).DivRound(decimal.NewFromInt(2), 2)
		if l := q.Lines[0].Cost.Lines[0]; l.What != "transfer from the shelf" || !l.Amount.Round(2).Equal(each) {
			t.Errorf("%+v, want %s", l, each)
		}
		return
	}
	t.Error("there are no transfers on the shelf")
}
