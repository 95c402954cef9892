package store

import (
	"slices"

	"github.com/shopspring/decimal"

	"brushfall/internal/shop"
)

// model is a shop in plain memory, by the words of docs/formats/jobs.md: no SQL, and
// none of the functions of the rules.
type model struct {
	lots    map[shop.Kind][]*modelLot // oldest first, all at one place
	jobs    []*modelJob
	designs []shop.Design
	flock   string // the usual sheet
}

type modelLot struct {
	left, in int // in it were so many, as far as is known
	cost     *decimal.Decimal
}

type modelJob struct {
	state string
	lines []*modelLine
	steps int
}

type modelLine struct {
	design               int // from 0
	want, anew, fromBook int // transfers wanted, made anew, taken from the shelf
	share                int // of the shelf, not yet taken
	to                   shop.Destination
	blank                string
	template             shop.Template
	handed               bool
}

func (l *modelLine) open() int { return l.want - l.anew - l.fromBook }

// left is how many are still to be made anew.
func (l *modelLine) left() int { return l.open() - l.share }

func (m *model) onHand(k shop.Kind) int {
	n := 0
	for _, l := range m.lots[k] {
		n += l.left
	}
	return n
}

func (m *model) receive(k shop.Kind, pieces int, cost *decimal.Decimal) {
	m.lots[k] = append(m.lots[k], &modelLot{pieces, pieces, cost})
}

// take takes pieces from the oldest lots and gives what they cost; ok says that there
// were as many, known that the cost is.
func (m *model) take(k shop.Kind, pieces int) (cost decimal.Decimal, known, ok bool) {
	known = true
	if m.onHand(k) < pieces {
		return cost, false, false
	}
	for _, l := range m.lots[k] {
		n := min(l.left, pieces)
		if n == 0 {
			continue
		}
		l.left -= n
		pieces -= n
		if l.cost == nil {
			known = false
			continue
		}
		cost = cost.Add(l.cost.Mul(decimal.NewFromInt(int64(n))).DivRound(decimal.NewFromInt(int64(l.in)), 4))
	}
	return cost, known, true
}

// count brings a kind to what is there.
func (m *model) count(k shop.Kind, there int) {
	lots := m.lots[k]
	if had := m.onHand(k); there >= had {
		lots[len(lots)-1].left += there - had
		lots[len(lots)-1].in += there - had
		return
	}
	gone := m.onHand(k) - there
	for _, l := range lots {
		n := min(l.left, gone)
		l.left -= n
		l.in -= n
		gone -= n
	}
}

func (m *model) transfers(design int) shop.Kind {
	return shop.Kind{Size: "transfer", Colour: "design " + string(rune('1'+design))}
}

// hasTemplate: some were made anew, ever.
func (m *model) hasTemplate(design int) bool {
	for _, j := range m.jobs {
		for _, l := range j.lines {
			if l.design == design && l.anew > 0 {
				return true
			}
		}
	}
	return false
}

// sheets of a cover for so many transfers.
func sheets(c shop.Cover, n int) int {
	out := 0
	for c.PerSheet > 0 && n > 0 {
		out++
		n -= c.PerSheet
	}
	return out + n*c.Sheets*min(1, max(0, 1-c.PerSheet))
}

// goods is what so many transfers of a line take beside stones.
func (m *model) goods(l *modelLine, drawn, fresh int, cut bool, into map[shop.Kind]int) {
	d := m.designs[l.design]
	if cut && fresh > 0 {
		into[shop.Kind{Size: "flock", Colour: m.flock}] += d.Flock
	}
	into[shop.Kind{Size: "tape", Colour: "sheet 12 x 12 in"}] += sheets(d.Tape, l.anew+fresh) - sheets(d.Tape, l.anew)
	if l.to == shop.ToDecal {
		into[shop.Kind{Size: "film", Colour: "sheet 12 x 12 in"}] += sheets(d.Film, l.anew+fresh) - sheets(d.Film, l.anew)
	}
	if l.blank != "" {
		into[shop.Kind{Size: "blank", Colour: l.blank}] += drawn + fresh
	}
}

// reserved is what promised jobs take, by kind.
func (m *model) reserved() map[shop.Kind]int {
	out := map[shop.Kind]int{}
	cut := map[int]bool{}
	for d := range m.designs {
		cut[d] = m.hasTemplate(d)
	}
	for _, j := range m.jobs {
		for _, l := range j.lines {
			if j.state != "promised" {
				continue
			}
			cuts := l.left() > 0 && (l.template == shop.Anew && l.anew == 0 || l.template == shop.AsNeeded && !cut[l.design])
			cut[l.design] = cut[l.design] || cuts
			for _, s := range m.designs[l.design].Stones {
				out[s.Kind] += s.Take * l.left()
			}
			out[m.transfers(l.design)] += l.share
			m.goods(l, l.share, l.left(), cuts, out)
		}
	}
	for k, n := range out {
		if n == 0 {
			delete(out, k)
		}
	}
	return out
}

// promise gives the shelf's free transfers to the lines, in their order.
func (m *model) promise(j *modelJob) {
	for _, l := range j.lines {
		l.share = 0
	}
	j.state = "dropped" // so that what others reserve can be asked for
	others := m.reserved()
	j.state = "promised"
	free := map[int]int{}
	for d := range m.designs {
		free[d] = max(0, m.onHand(m.transfers(d))-others[m.transfers(d)])
	}
	for _, l := range j.lines {
		if l.to != shop.ToShelf {
			l.share = min(free[l.design], l.open())
			free[l.design] -= l.share
		}
	}
	j.steps++
}

// save gives a copy of the stock to go back to, where a making cannot be done whole.
func (m *model) save() map[shop.Kind][]*modelLot {
	out := map[shop.Kind][]*modelLot{}
	for k, lots := range m.lots {
		for _, l := range lots {
			kept := *l
			out[k] = append(out[k], &kept)
		}
	}
	return out
}

// make makes so many of a line, 0 for all; it gives what they cost, nil where that is
// not known or nothing was taken, and false, with the stock in disorder, where
// something was short. found says that what is missing was there after all.
func (m *model) make(l *modelLine, n int, found bool) (*decimal.Decimal, bool) {
	if n == 0 {
		n = l.open()
	}
	drawn := min(n, l.share)
	fresh := n - drawn
	wants := map[shop.Kind]int{}
	for _, s := range m.designs[l.design].Stones {
		wants[s.Kind] = s.Pieces * fresh
	}
	wants[m.transfers(l.design)] = drawn
	m.goods(l, drawn, fresh, l.template == shop.Anew && l.anew == 0 || l.template == shop.AsNeeded && !m.hasTemplate(l.design), wants)
	if found {
		m.find(wants)
	}
	cost, known, ok := m.takeAll(wants)
	if !ok {
		return nil, false
	}
	l.share -= drawn
	l.fromBook += drawn
	l.anew += fresh
	if l.to == shop.ToShelf {
		m.receive(m.transfers(l.design), fresh, priced(cost, known))
	}
	return priced(cost, known), true
}

func priced(cost decimal.Decimal, known bool) *decimal.Decimal {
	if !known {
		return nil
	}
	return &cost
}

// find counts up what is wanted and not there.
func (m *model) find(wants map[shop.Kind]int) {
	for k, n := range wants {
		switch stone := slices.Contains([]string{"SS6", "SS10", "SS16"}, k.Size); {
		case m.onHand(k) >= n:
		case m.lots[k] != nil:
			m.count(k, n)
		case stone:
			m.receive(k, n, nil)
		}
	}
}

// takeAll takes several kinds; of goods that never came in nothing is taken. Nothing
// taken at all has no known cost.
func (m *model) takeAll(wants map[shop.Kind]int) (cost decimal.Decimal, known, ok bool) {
	known, took := true, false
	for k, n := range wants {
		if n == 0 || (m.lots[k] == nil && !slices.Contains([]string{"SS6", "SS10", "SS16"}, k.Size)) {
			continue
		}
		c, all, ok := m.take(k, n)
		if !ok {
			return cost, false, false
		}
		took = true
		known = known && all
		cost = cost.Add(c)
	}
	return cost, known && took, true
}
