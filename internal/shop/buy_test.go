package shop

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
)

func money(t testing.TB, text string) Money {
	t.Helper()
	m, err := ParseMoney(text)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// someKinds are those of the random cases.
func someKinds() []Kind { return []Kind{{"SS6", "jet"}, {"SS10", "crystal"}, {"SS16", "siam"}} }

// brute tries every number of packs of every pack, up to one more than meets the
// need alone or its last price break, and gives the least cost in ten-thousandths
// and with it the fewest pieces and packs.
func brute(wants map[Kind]int, m Market) (best [3]int64) {
	fees := map[string]int64{}
	for _, s := range m.Suppliers {
		fees[s.Name] = s.Delivery.Shift(4).IntPart()
	}
	best = [3]int64{math.MaxInt64}
	counts := make([]int, len(m.Packs))
	var try func(i int)
	try = func(i int) {
		if i < len(m.Packs) {
			p := m.Packs[i]
			for n := range wants[p.Kind]/p.Labelled + 2 + p.Breaks[len(p.Breaks)-1].From {
				counts[i] = n
				try(i + 1)
			}
			counts[i] = 0
			return
		}
		var sum [3]int64
		got, from := map[Kind]int{}, map[string]bool{}
		for j, n := range counts {
			if n == 0 {
				continue
			}
			price, ok := m.Packs[j].Price(n)
			if !ok {
				return
			}
			sum[0] += price.Shift(4).IntPart() * int64(n)
			sum[1] += int64(n * m.Packs[j].Labelled)
			sum[2] += int64(n)
			got[m.Packs[j].Kind] += n * m.Packs[j].Labelled
			from[m.Packs[j].Supplier] = true
		}
		for k, n := range wants {
			if got[k] < n {
				return
			}
		}
		for s := range from {
			sum[0] += fees[s]
		}
		if sum[0] < best[0] || (sum[0] == best[0] && (sum[1] < best[1] || (sum[1] == best[1] && sum[2] < best[2]))) {
			best = sum
		}
	}
	try(0)
	return best
}

// randomMarket gives up to five packs of up to three suppliers, with breaks and
// deliveries, small enough for brute force.
func randomMarket(rng *rand.Rand) Market {
	m := Market{Overrun: Learn(nil)}
	names := []string{"Reed", "Marsh", "Heron"}
	for _, n := range names {
		m.Suppliers = append(m.Suppliers, Supplier{n, decimal.New(int64(rng.IntN(3)*rng.IntN(100)), -2)})
	}
	for range 2 + rng.IntN(4) {
		p := Pack{Supplier: names[rng.IntN(3)], Kind: someKinds()[rng.IntN(2)], Labelled: []int{100, 144, 250, 288, 500}[rng.IntN(5)], Filled: ByPieces}
		price, from := int64(p.Labelled*(20+rng.IntN(4))/10+rng.IntN(40)), 1+rng.IntN(2)*rng.IntN(2)
		for range 1 + rng.IntN(2) {
			p.Breaks = append(p.Breaks, Break{from, decimal.New(price, -2)})
			from += 1 + rng.IntN(2)
			price = price * int64(85+rng.IntN(16)) / 100
		}
		m.Packs = append(m.Packs, p)
	}
	return m
}

func TestBuyListEqualsBruteForce(t *testing.T) {
	const cases = 500
	rng := rand.New(rand.NewPCG(500, 6))
	delivered, broken, several := 0, 0, 0
	for c := range cases {
		m := randomMarket(rng)
		wants, onHand := []Want{}, map[Kind]int{}
		short := map[Kind]int{}
		for _, k := range someKinds() {
			n, has := 1+rng.IntN(900), rng.IntN(300)
			wants, onHand[k] = append(wants, Want{k, n}), has
			for _, p := range m.Packs {
				if p.Kind == k && n > has {
					short[k] = n - has
				}
			}
		}
		list, err := Buy(wants, onHand, m)
		if err != nil {
			t.Fatal(err)
		}
		want := brute(short, m)
		var got [3]int64
		got[0] = list.Total().Shift(4).IntPart()
		for _, n := range list.Needs {
			if len(n.Purchases) > 1 {
				several++
			}
			for _, p := range n.Purchases {
				got[1] += int64(p.Pieces)
				got[2] += int64(p.Packs)
				if !p.Price.Equal(p.Pack.Breaks[0].Price) {
					broken++
				}
			}
			if short[n.Kind] > 0 && n.Leftover != n.OnHand+n.Bought-n.Wanted || n.Leftover < 0 {
				t.Errorf("case %d: leftover of %+v", c, n)
			}
		}
		if list.Delivery.IsPositive() {
			delivered++
		}
		if got != want {
			t.Errorf("case %d: cost, pieces, packs %v, brute force %v", c, got, want)
		}
	}
	t.Logf("%d cases; %d with a delivery, %d purchases at a lower price, %d kinds from several packs", cases, delivered, broken, several)
	if delivered < 50 || broken < 50 || several < 50 {
		t.Error("the cases are too plain to tell")
	}
}

// A list of thirty kinds, each in twelve packs of six suppliers, is found at once.
func BenchmarkBuy(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	m := Market{Overrun: Learn(nil)}
	for s := range 6 {
		m.Suppliers = append(m.Suppliers, Supplier{fmt.Sprint("supplier ", s), decimal.New(int64(300+rng.IntN(600)), -2)})
	}
	var wants []Want
	for _, size := range []string{"SS6", "SS10", "SS16"} {
		for _, colour := range []string{"crystal", "jet", "siam", "sun", "emerald", "sapphire", "rose", "gold", "silver", "peridot"} {
			k := Kind{size, colour}
			wants = append(wants, Want{k, 1000 + rng.IntN(60_000)})
			for s := range 6 {
				price := int64(500 + rng.IntN(200))
				m.Packs = append(m.Packs,
					Pack{Supplier: fmt.Sprint("supplier ", s), Kind: k, Labelled: 1440, Breaks: []Break{{1, decimal.New(price, -2)}, {10, decimal.New(price*9/10, -2)}, {50, decimal.New(price*8/10, -2)}}},
					Pack{Supplier: fmt.Sprint("supplier ", s), Kind: k, Labelled: 144, Breaks: []Break{{1, decimal.New(price/7, -2)}}})
			}
		}
	}
	for b.Loop() {
		if _, err := Buy(wants, nil, m); err != nil {
			b.Fatal(err)
		}
	}
}

func TestBuyTellsWhatHasNoPrice(t *testing.T) {
	k := Kind{"SS10", "jet"}
	list, err := Buy([]Want{{k, 2000}, {k, 1000}}, map[Kind]int{k: 50}, Market{})
	if err != nil || len(list.Needs) != 1 || list.Needs[0].Unpriced != 3 || list.Needs[0].Short != 2950 || !list.Total().IsZero() {
		t.Errorf("%+v, %v", list, err)
	}
}

func TestBuyPlansWithThePoorestFill(t *testing.T) {
	k := Kind{"SS10", "jet"}
	p := Pack{Supplier: "Reed", Kind: k, Labelled: 1440, Filled: ByWeight, Breaks: []Break{{1, money(t, "6")}}}
	over := Learn([]Fill{{1440, 1500}, {1440, 1470}})
	for _, c := range []struct{ pieces, packs int }{{1470, 1}, {1471, 2}} {
		list, err := Buy([]Want{{k, c.pieces}}, nil, Market{Packs: []Pack{p}, Overrun: over})
		if err != nil || list.Needs[0].Purchases[0].Packs != c.packs {
			t.Errorf("%d: %+v, %v", c.pieces, list, err)
		}
	}
}

func TestBuyRefuses(t *testing.T) {
	k := Kind{"SS10", "jet"}
	many := Market{}
	for i := range mostSuppliers + 1 {
		many.Packs = append(many.Packs, Pack{Supplier: fmt.Sprint("s", i), Kind: k, Labelled: 10, Breaks: []Break{{1, money(t, "1")}}})
	}
	for _, c := range []struct {
		code  string
		wants []Want
		m     Market
	}{
		{"buy-want", []Want{{k, -1}}, Market{}},
		{"buy-want", []Want{{k, MostPieces}, {k, 1}}, Market{}},
		{"buy-suppliers", []Want{{k, 1}}, many},
		{"pack", []Want{{k, 1}}, Market{Packs: []Pack{{Supplier: "s", Kind: k, Labelled: 10}}}},
		{"pack-break", []Want{{k, 1}}, Market{Packs: []Pack{{Supplier: "s", Kind: k, Labelled: 10, Breaks: []Break{{0, money(t, "1")}}}}}},
	} {
		if _, err := Buy(c.wants, nil, c.m); fault.CodeOf(err) != c.code {
			t.Errorf("%v, want %s", err, c.code)
		}
	}
}
