package price

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

func dec(t testing.TB, text string) Amount {
	t.Helper()
	d, err := decimal.NewFromString(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// with reads settings that are all the shop's own.
func with(t testing.TB, pairs ...string) Settings {
	t.Helper()
	given := map[string]Value{}
	for i := 0; i < len(pairs); i += 2 {
		name, err := CheckSetting(pairs[i], pairs[i+1])
		if err != nil {
			t.Fatal(err)
		}
		given[name] = Value{pairs[i+1], Own}
	}
	s, err := Read(given)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// shop has the settings of the worked example of docs/pricing.md.
func shop(t testing.TB, more ...string) Settings {
	t.Helper()
	return with(t, append([]string{
		"labour", "18", "overhead", "3.60", "cutter", "2.40", "heat-press", "1.20",
		"flock", "6.50", "tape", "0.80", "film", "1.10",
		"card", "1.9% + 0.25", "tax", "20% contained", "rounding", "up 0.05",
	}, more...)...)
}

// disc is what it is pressed onto.
func disc(t testing.TB) Blank {
	t.Helper()
	return Blank{Name: "disc 3 in", Cost: dec(t, "1.40"), Source: "lots on hand"}
}

// badge is the design of the worked example.
func badge(t testing.TB) Piece {
	t.Helper()
	return Piece{
		Design: "Heron badge",
		Stones: []Stones{
			{Kind: "SS10 crystal", Pieces: 620, Value: dec(t, "6.50"), Of: 1440, Source: "lots on the shelf"},
			{Kind: "SS6 light sapphire", Pieces: 180, Value: dec(t, "5.20"), Of: 1440, Source: "a pack"},
		},
		Holes: 800, Plates: 2, Sheets: 1, Flock: dec(t, "0.6"), Cutting: dec(t, "420"),
		Tape: Part{1, 2}, Film: Part{1, 4},
	}
}

// The worked example of docs/pricing.md, reckoned there by hand line by line.
func TestCostByHand(t *testing.T) {
	c, err := CostOf(badge(t), Making{For: "disc", Blank: disc(t), Quantity: 12}, shop(t))
	if err != nil {
		t.Fatal(err)
	}
	want := []struct{ what, amount, seconds string }{
		{"SS10 crystal", "2.7986", "0"},
		{"SS6 light sapphire", "0.65", "0"},
		{"tape", "0.4", "0"},
		{"template: flock", "0.0195", "0"},
		{"template: cutter", "0.0014", "0"},
		{"template: load", "0.003", "0.6"},
		{"template: cut", "0.0105", "2.1"},
		{"template: weed", "0.004", "0.8"},
		{"brush", "0.15", "30"},
		{"tidy", "0.4", "80"},
		{"lift", "0.2", "40"},
		{"set up", "0.25", "50"},
		{"disc 3 in", "1.4", "0"},
		{"press", "0.3", "60"},
		{"heat press", "0.02", "0"},
		{"pack", "0.15", "30"},
		{"waste", "0.105", "0"},
		{"overhead", "0.2935", "0"},
	}
	for i, w := range want {
		if i >= len(c.Lines) {
			t.Fatalf("only %d lines", len(c.Lines))
		}
		l := c.Lines[i]
		if l.What != w.what || !l.Amount.Equal(dec(t, w.amount)) || !l.Seconds.Equal(dec(t, w.seconds)) || l.How == "" || len(l.Sources) == 0 {
			t.Errorf("%+v, want %+v", l, w)
		}
	}
	if len(c.Lines) != len(want) || c.Total.String() != "7.1555" || c.Seconds.String() != "293.5" || c.Wages().String() != "1.4675" {
		t.Errorf("%d lines, %s, %s s, wages %s", len(c.Lines), c.Total, c.Seconds, c.Wages())
	}
}

// The same example as a quote; docs/pricing.md has the sums.
func TestQuoteByHand(t *testing.T) {
	s := shop(t)
	o := Order{Items: []Item{{Piece: badge(t), Quantity: 12, For: "disc", Blank: disc(t)}}, Fees: []string{"card"}}
	q, err := s.For(o)
	if err != nil {
		t.Fatal(err)
	}
	f := q.Offers[0]
	for what, c := range map[string][2]string{
		"price":  {f.Price.String(), "14.95"},
		"shown":  {q.Shown.String(), "179.4"},
		"tax":    {q.Sale.Tax.String(), "29.9"},
		"goods":  {q.Sale.Goods.String(), "149.5"},
		"fee":    {q.Sale.Fees[0].Amount.String(), "3.66"},
		"left":   {q.Sale.Left.String(), "145.84"},
		"cost":   {q.Cost.String(), "85.866"},
		"earned": {q.Earned.String(), "59.974"},
		"margin": {q.Margin.String(), "0.4012"},
		"markup": {q.Markup.String(), "0.6985"},
		"hours":  {q.Hours.String(), "0.9783"},
		"hourly": {q.Hourly.String(), "79.3022"},
		"least":  {f.Least.String(), "8.85"},
	} {
		if c[0] != c[1] {
			t.Errorf("%s: %s, want %s", what, c[0], c[1])
		}
	}
}

// Margin is of the price, markup of the cost. The published example is that of
// Kotler and Armstrong, "Principles of Marketing", pricing by markup (from memory):
// a toaster costs 16 and is to return 20 % of sales: 16 ÷ (1 − 0.2) = 20, which is a
// markup of 25 %. With m = u/(1+u) both ways give one price.
func TestMarginAndMarkup(t *testing.T) {
	terms := Terms{Grid: Grid{Up, dec(t, "0.01"), Amount{}}, Coin: 2, Pieces: 1}
	for _, c := range []struct{ target, cost, want string }{
		{"margin 20%", "16", "20"},
		{"markup 25%", "16", "20"},
		{"markup 20%", "16", "19.2"},
		{"margin 50%", "16", "32"}, // keystone: double the cost, common practice of retail
		{"markup 100%", "16", "32"},
		{"margin 0%", "16", "16"},
	} {
		target, err := ParseTarget(c.target)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := terms.Ask(dec(t, c.cost), target, Amount{}); err != nil || !got.Equal(dec(t, c.want)) || target.String() != c.target {
			t.Errorf("%s on %s: %s, %v, want %s", c.target, c.cost, got, err, c.want)
		}
	}
	terms.Fees = []Fee{{Share: dec(t, "0.10")}}
	if _, err := terms.Ask(dec(t, "16"), Target{Share: dec(t, "0.90")}, Amount{}); fault.CodeOf(err) != "price-impossible" {
		t.Errorf("a margin of 90 %% and a fee of 10 %%: %v", err)
	}
}

// Each mode by its definition in IEEE 754-2019, 4.3, on the values that ISO
// 80000-1:2009, B.3, has for its rules A and B: 12.25 and 12.35 in tenths.
func TestModesOfRounding(t *testing.T) {
	for _, c := range []struct {
		grid, x, want string
	}{
		{"even 0.1", "12.25", "12.2"},
		{"even 0.1", "12.35", "12.4"},
		{"even 0.1", "12.251", "12.3"},
		{"nearest 0.1", "12.25", "12.3"},
		{"nearest 0.1", "12.35", "12.4"},
		{"nearest 0.1", "12.249", "12.2"},
		{"up 0.1", "12.21", "12.3"},
		{"up 0.1", "12.2", "12.2"},
		{"down 0.1", "12.29", "12.2"},
		{"up 0.05", "7.1501", "7.2"},
		{"up 0.05", "7.15", "7.15"},
		{"nearest 0.25", "3.125", "3.25"},
		{"even 0.25", "3.125", "3"},
		{"up 5", "15.01", "20"},
		{"up x.99", "14.2", "14.99"},
		{"up x.99", "14.991", "15.99"},
		{"down x.99", "14.2", "13.99"},
		{"nearest x.99", "14.49", "14.99"},
		{"nearest x.99", "14.48", "13.99"},
		{"down x.99", "0.5", "0.99"}, // there is none below
		{"up x.95", "0", "0.95"},
	} {
		g, err := ParseGrid(c.grid)
		if err != nil {
			t.Fatal(c.grid, err)
		}
		if got := g.Round(dec(t, c.x)); !got.Equal(dec(t, c.want)) || g.String() != c.grid {
			t.Errorf("%s (%s) of %s: %s, want %s", c.grid, g, c.x, got, c.want)
		}
	}
}

// The smallest coins are those of ISO 4217 (its table of minor units, from memory).
func TestCoins(t *testing.T) {
	for code, want := range map[string]string{"EUR": "0.01", "gbp": "0.01", "JPY": "1", "KWD": "0.001"} {
		s, err := Read(map[string]Value{"currency": {code, Own}, "rounding": {"up 1", Own}})
		if err != nil || s.Coin.Least().String() != want {
			t.Errorf("%s: %s, %v", code, s.Coin.Least(), err)
		}
	}
}

// Every default is one that can be read, and says where it comes from.
func TestDefaultsAreSettings(t *testing.T) {
	for _, r := range List() {
		if (r.Source == Unset) != (r.Default == "" && r.Name != "breaks" && r.Source != AsLabour) || r.About == "" {
			t.Errorf("%+v", r)
		}
	}
	s, err := Read(nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := CostOf(badge(t), Making{For: ForDecal, Quantity: 1}, s); fault.CodeOf(err) != "price-unset" {
		t.Error(err)
	} else if e := err.(*fault.Error); e.Where != "labour, flock, tape, film" {
		t.Errorf("only %q is asked for", e.Where)
	}
	again, err := Read(s.Given)
	if err != nil || len(again.Given) != len(s.Given) {
		t.Errorf("%+v, %v", again, err)
	}
}

func TestSettingsThatCannotBe(t *testing.T) {
	for name, texts := range map[string][]string{
		"labour":   {"", "-1", "18,50", "1e3", "1000001", "0.00001"},
		"waste":    {"2", "101%", "%", "-1%"},
		"reuses":   {"0", "1.5", "many"},
		"brush":    {"-1", "fast"},
		"target":   {"40%", "margin", "margin 96%", "profit 10%", "markup -1%"},
		"rounding": {"up", "up 0", "sideways 1", "up x.", "up x.00001"},
		"breaks":   {"12", "1:5%", "12:5%,12:6%", "12:91%", "x:5%"},
		"card":     {"1.9% 0.25", "51%", "x", "1.9% + "},
		"currency": {"", "euro", "XXXX"},
		"language": {"xx"},
		"tax": {
			"20% inside", "101%", "20", "5%, 2% added", "A 5%, a 2%", "A 5%, B 0%", "A 60%, B 41%", "A 5%, B", "7 5%, B 2%", "A 5%, B 2% 3%", "A\t5%, \x00B 2%",
			"A 1%, B 1%, C 1%, D 1%, E 1%, F 1%, G 1%", strings.Repeat("a", 41) + " 5%",
		},
		"labour-brush": {"-1", "18,50", "fast"},
		"design":       {"-1", "long"},
	} {
		for _, text := range texts {
			if _, err := CheckSetting(name, text); fault.CodeOf(err) != "price-value" {
				t.Errorf("%s=%s: %v", name, text, err)
			}
		}
	}
	if _, err := CheckSetting("lunch", "1"); fault.CodeOf(err) != "price-setting" {
		t.Error(err)
	}
	for _, pair := range [][2]string{{"rounding", "up 0.001"}, {"card", "0.255"}} {
		if _, err := Read(map[string]Value{pair[0]: {pair[1], Own}}); fault.CodeOf(err) != "price-value" {
			t.Errorf("%v is finer than the coin: %v", pair, err)
		}
	}
}

func FuzzCheckSetting(f *testing.F) {
	for _, r := range List() {
		f.Add(r.Name, r.Default)
	}
	f.Add("currency", "EUR")
	f.Add("card", "1.9% + 0.25")
	f.Add("breaks", "12:5%, 50:10%")
	f.Add("tax", "Country 5%, Town 2.25% contained")
	f.Add("labour-press", "24")
	f.Fuzz(func(t *testing.T, name, text string) {
		kept, err := CheckSetting(name, text)
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Fatalf("no fault: %v", err)
			}
			return
		}
		if s, err := Read(map[string]Value{kept: {text, Own}}); err == nil {
			if got := s.Given[kept]; got.Text != text {
				t.Fatalf("%q became %q", text, got.Text)
			}
		}
	})
}
