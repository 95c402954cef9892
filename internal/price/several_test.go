package price

import (
	"testing"

	"brushfall/internal/fault"
)

// Two taxes as Québec has them since 2013 (GST 5 % and QST 9.975 %, the second no longer
// of the first; the tax offices' rule, from memory): 100.00 sold takes 5.00 and, 9.975
// rounded half up, 9.98, together 114.98.
func TestTwoTaxesOfTheNet(t *testing.T) {
	tax, err := ParseTax("GST 5%, QST 9.975% added")
	if err != nil {
		t.Fatal(err)
	}
	s := Terms{Tax: tax, Coin: 2}.Sell(dec(t, "100.00"))
	if len(s.Taxes) != 2 || s.Taxes[0].Name != "GST" || s.Taxes[0].Amount.String() != "5" || s.Taxes[1].Amount.String() != "9.98" || s.Tax.String() != "14.98" || s.Total.String() != "114.98" || s.Goods.String() != "100" {
		t.Errorf("%+v", s)
	}
}

// The worked example of docs/pricing.md with two taxes, added and contained; the sums are
// there by hand.
func TestTwoTaxesByHand(t *testing.T) {
	o := Order{Items: []Item{{Piece: badge(t), Quantity: 12, For: "disc", Blank: disc(t)}}, Fees: []string{"card"}}
	for _, c := range []struct {
		tax, price, goods, first, second, total, fee, left, earned string
	}{
		{"Country 5%, Town 9.975% added", "12.45", "149.4", "7.47", "14.9", "171.77", "3.51", "145.89", "60.024"},
		{"Country 5%, Town 9.975% contained", "14.3", "149.25", "7.46", "14.89", "171.6", "3.51", "145.74", "59.874"},
	} {
		q, err := shop(t, "tax", c.tax).For(o)
		if err != nil {
			t.Fatal(err)
		}
		for what, pair := range map[string][2]string{
			"price": {q.Offers[0].Price.String(), c.price}, "goods": {q.Sale.Goods.String(), c.goods}, "first": {q.Sale.Taxes[0].Amount.String(), c.first},
			"second": {q.Sale.Taxes[1].Amount.String(), c.second}, "total": {q.Sale.Total.String(), c.total}, "fee": {q.Sale.Fees[0].Amount.String(), c.fee},
			"left": {q.Sale.Left.String(), c.left}, "earned": {q.Earned.String(), c.earned},
		} {
			if pair[0] != pair[1] {
				t.Errorf("%s, %s: %s, want %s", c.tax, what, pair[0], pair[1])
			}
		}
	}
}

func TestTaxesThatAreRead(t *testing.T) {
	for text, want := range map[string]struct {
		levies    int
		share     string
		contained bool
	}{
		"20%": {1, "0.2", false}, "20 % contained": {1, "0.2", true}, "VAT 20% contained": {1, "0.2", true}, "0% added": {0, "0", false}, "0% contained": {0, "0", true},
		"Country 5%, Town  of Reed 2.25 %": {2, "0.0725", false}, "a 1%,b 2%,c 3% contained": {3, "0.06", true},
	} {
		tax, err := ParseTax(text)
		if err != nil || len(tax.Levies) != want.levies || tax.Share().String() != want.share || tax.Contained != want.contained {
			t.Errorf("%q: %+v, %v", text, tax, err)
		}
	}
	if tax, _ := ParseTax("Country 5%, Town  of Reed 2.25 %"); tax.Levies[1].Name != "Town of Reed" {
		t.Errorf("%+v", tax)
	}
	if _, err := ParseTax("5%, 2%"); fault.CodeOf(err) != "price-value" {
		t.Error(err)
	}
}

// The worked example of docs/pricing.md with rates of their own for three kinds of work,
// by hand there: only their lines change, and what follows from them.
func TestRatesByHand(t *testing.T) {
	m := Making{For: "disc", Blank: disc(t), Quantity: 12}
	c, err := CostOf(badge(t), m, shop(t, "labour-brush", "15", "labour-press", "24", "labour-design", "30", "design", "1800"))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"brush": "0.125", "press": "0.4", "design": "1.25", "tidy": "0.4", "set up": "0.25", "template: cut": "0.0105", "overhead": "0.4435"}
	for _, l := range c.Lines {
		if w, ok := want[l.What]; ok && l.Amount.String() != w {
			t.Errorf("%s: %s, want %s (%s)", l.What, l.Amount, w, l.How)
		}
		if l.What == "press" && (l.How != "1 transfer × 60 s at 24 an hour" || l.Sources[1] != "labour-press: set by the shop") {
			t.Errorf("%+v", l)
		}
		delete(want, l.What)
	}
	if len(want) > 0 || c.Total.String() != "8.6305" || c.Wages().String() != "2.7925" {
		t.Errorf("without %v: %s, of which pay %s", want, c.Total, c.Wages())
	}
}

// A rate for every kind of work that is what labour says changes nothing; and whatever
// the rates, the wage wished for is that of all work.
func TestRatesThatSayWhatLabourSays(t *testing.T) {
	o := Order{Items: []Item{{Piece: badge(t), Quantity: 7, For: "disc", Blank: disc(t)}}}
	var same, dear []string
	for _, work := range kindsOfWork() {
		same, dear = append(same, "labour-"+work, "18"), append(dear, "labour-"+work, "90")
	}
	plain, err := shop(t, "wage", "25", "design", "600").For(o)
	if err != nil {
		t.Fatal(err)
	}
	for _, rates := range [][]string{same, dear} {
		q, err := shop(t, append([]string{"wage", "25", "design", "600"}, rates...)...).For(o)
		if err != nil {
			t.Fatal(err)
		}
		is := q.Offers[0].Cost.Total.Equal(plain.Offers[0].Cost.Total) && q.Offers[0].Hand.Placed.Equal(plain.Offers[0].Hand.Placed)
		if is != (rates[1] == "18") || !q.Offers[0].ForWage.Equal(plain.Offers[0].ForWage) {
			t.Errorf("%v: %s and %s for the wage, want %s", rates, q.Offers[0].Cost.Total, q.Offers[0].ForWage, plain.Offers[0].ForWage)
		}
	}
}
