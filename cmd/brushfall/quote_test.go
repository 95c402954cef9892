package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

// sold is what the tests read of a quote.
type sold struct {
	Quote  int64
	Answer string
	Total  decimal.Decimal
	Job    int64
	Until  string
	Lines  []struct {
		Price, Least, Amount decimal.Decimal
		Quantity             int
		Listed               bool
		Cost                 struct {
			Total decimal.Decimal
			Lines []struct {
				What   string
				Amount decimal.Decimal
			}
		}
	}
	Rush, Shown, Cost, Earned decimal.Decimal
	Sale                      struct{ Goods, Tax, Total, Left decimal.Decimal }
	Settings                  map[string]struct{ Value, Source string }
}

func quoteOf(t *testing.T, args ...string) sold {
	t.Helper()
	var q sold
	does(t, append(append([]string{"quote"}, args...), "--json")...).reads(t, &q)
	return q
}

// A quote adds up from its lines to what the customer pays, in what the command says.
func TestQuotesAddUp(t *testing.T) {
	pricedDesk(t)
	does(t, "price", "set", "card=1.9% + 0.25", "tax=20% contained", "wage=25", "breaks=12:5%")
	q := quoteOf(t, "out=12:disc:disc 3 in", "out=3:decal", "--blank", "disc 3 in=1.40", "--fees", "card", "--rush", "--extra", "Delivery=4.90", "--day", "2026-03-01")
	shown := decimal.Zero
	for _, l := range q.Lines {
		sum := decimal.Zero
		for _, c := range l.Cost.Lines {
			sum = sum.Add(c.Amount)
		}
		if !sum.Equal(l.Cost.Total) || !l.Amount.Equal(l.Price.Mul(decimal.NewFromInt(int64(l.Quantity)))) || l.Price.LessThan(l.Least) {
			t.Errorf("%+v", l)
		}
		shown = shown.Add(l.Amount)
	}
	rush := shown.Mul(decimal.New(25, -2)).Round(2)
	if !q.Rush.Equal(rush) || !q.Shown.Equal(shown.Add(rush).Add(decimal.New(490, -2))) || !q.Sale.Total.Equal(q.Shown) || !q.Total.Equal(q.Shown) {
		t.Errorf("%+v, want rush of %s", q, rush)
	}
	// The card takes 1.9 % of all and 0.25.
	fee := q.Shown.Mul(decimal.New(19, -3)).Round(2).Add(decimal.New(25, -2))
	if !q.Sale.Left.Equal(q.Sale.Goods.Sub(fee)) || !q.Earned.Equal(q.Sale.Left.Sub(q.Cost)) || q.Until != "2026-03-31" {
		t.Errorf("%+v, want a fee of %s", q, fee)
	}
	does(t, "quote", "show", "1", "--explain").wants(t, exitDone, "lapsed", "rush, 25 %", "£", "tidy", "common practice", "pays the wage you wish for")
}

// What was quoted stays so, whatever is set and received later.
func TestAQuoteStaysAsItWas(t *testing.T) {
	pricedDesk(t)
	quoteOf(t, "out=12", "--with", "reuses=12", "--with", "target=markup 80%", "--note", "regatta")
	before := does(t, "quote", "show", "1", "--json").stdout
	does(t, "price", "set", "labour=99", "rounding=up x.99", "target=margin 60%")
	does(t, "stock", "receive", "--size", "SS10", "--colour", "sun", "--gross", "10", "--cost", "99")
	if after := does(t, "quote", "show", "1", "--json").stdout; after != before {
		t.Errorf("it was\n%s\nand is\n%s", before, after)
	}
	if !strings.Contains(before, `"said for this order"`) {
		t.Error("nothing says that the target was said for this order")
	}
	q := quoteOf(t, "out=12", "--dry-run")
	if q.Quote != 0 || q.Lines[0].Price.Shift(2).IntPart()%100 != 99 {
		t.Errorf("%+v", q)
	}
	var rows []quoteRow
	does(t, "quote", "list", "--json").reads(t, &rows)
	if len(rows) != 1 || rows[0].Answer != "given" || rows[0].Note != "regatta" {
		t.Errorf("%+v", rows)
	}
}

func TestTakingAQuote(t *testing.T) {
	pricedDesk(t)
	quoteOf(t, "out=12:disc")
	quoteOf(t, "out")
	does(t, "quote", "take", "1", "--due", "2026-12-04").wants(t, exitDone, "Quote 1 is taken: job 1")
	does(t, "quote", "turn-down", "2").wants(t, exitDone, "Quote 2 is turned down")
	does(t, "quote", "list").wants(t, exitDone, "taken", "turned down")
	brushfall(t, "quote", "take", "1").wants(t, exitInput, "was taken already")
	brushfall(t, "quote", "take", "3").wants(t, exitInput, "there is no quote 3")
	does(t, "book", "check").wants(t, exitDone, "is sound")
}

// The price of the list is taken, and a loss is told.
func TestQuotingFromTheList(t *testing.T) {
	pricedDesk(t)
	brushfall(t, "quote", "out", "--listed").wants(t, exitInput, "there is no price for 1 of these on the list")
	put(t, "prices.csv", "design,for,from,price\nbadge,transfer,1,6.50\nbadge,transfer,12,0.05\n")
	does(t, "price", "import", "prices.csv")
	if q := quoteOf(t, "out=2", "--listed"); !q.Lines[0].Listed || q.Total.String() != "13" {
		t.Errorf("%+v", q)
	}
	does(t, "quote", "out=12", "--listed").wants(t, exitDone, "you lose money")
}

func TestQuotesOfWrongInput(t *testing.T) {
	pricedDesk(t)
	for args, says := range map[string]string{
		"quote":                             "name a design",
		"quote lost=3":                      "no such file",
		"quote out=0":                       "0 pieces cannot be ordered",
		"quote out:bow:bow":                 "not known what this costs",
		"quote out:disc:plank":              "no blank \"plank\"",
		"quote out:decal:bow --blank bow=1": "pressed on no blank",
		"quote out --fees tips":             "no such fee",
		"quote out --tax 20":                "is no tax",
		"quote out --with lunch=1":          "no setting of this name",
		"quote out --extra Delivery":        "is no amount",
		"quote out --extra Delivery=0.001":  "whole coins",
		"quote out --day soon":              "is no day",
		"quote out --until 2020-01-01":      "give a later day",
		"quote out --customer Nobody":       "no customer",
		"quote out --with target=margin_9x": "is no share",
		"quote show x":                      "is no number of a quote",
	} {
		words := strings.Fields(args)
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "_", " ")
		}
		brushfall(t, words...).wants(t, exitInput, says)
	}
	// All that is not set is asked for at once.
	does(t, "price", "set", "labour=default", "film=default")
	var answer struct{ Error struct{ Code, Where string } }
	if err := json.Unmarshal([]byte(brushfall(t, "quote", "out:decal", "--json").stdout), &answer); err != nil || answer.Error.Code != "price-unset" || answer.Error.Where != "labour, film" {
		t.Errorf("%+v, %v", answer, err)
	}
}
