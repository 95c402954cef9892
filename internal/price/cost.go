package price

import (
	"fmt"
	"strings"

	"brushfall/internal/fault"
)

// Part is pieces of something that is bought: Number of them from a whole that
// costs what a whole costs and gives Of of them. Of is above 0.
type Part struct {
	Number int `json:"number"`
	Of     int `json:"of"`
}

// Stones are the stones of one kind in a transfer. So many as Of are worth Value,
// of which Source tells.
type Stones struct {
	Kind   string `json:"kind"`
	Pieces int    `json:"pieces"`
	Value  Amount `json:"value"`
	Of     int    `json:"of"`
	Source Source `json:"source"`
}

// Piece is what one transfer and its template take. Flock is in sheets of
// 12 × 20 in; Tape and Film are parts of a sheet; Cutting is the time at the cutter
// for the whole template, in s.
type Piece struct {
	Design  string   `json:"design"`
	Stones  []Stones `json:"stones"`
	Holes   int      `json:"holes"`
	Plates  int      `json:"plates"`
	Sheets  int      `json:"sheets"`
	Flock   Amount   `json:"flock"`
	Cutting Amount   `json:"cutting"`
	Tape    Part     `json:"tape"`
	Film    Part     `json:"film"`
}

// count gives the stones of the piece.
func (p Piece) count() int {
	n := 0
	for _, s := range p.Stones {
		n += s.Pieces
	}
	return n
}

// The destinations with a meaning of their own. For every other the transfer is
// pressed, onto a blank of the shop's or onto the customer's own.
const (
	ForTransfer = "transfer" // sold as it is, on its tape
	ForDecal    = "decal"    // pressed onto film
)

// Blank is what a transfer is pressed onto, and what one costs the shop. No Name:
// it is the customer's own.
type Blank struct {
	Name   string `json:"name"`
	Cost   Amount `json:"cost"`
	Source Source `json:"source"`
}

// Making is how pieces are made: what they are for, whether the transfers lie on
// the shelf, and over how many the work of a line is shared.
type Making struct {
	For       string
	Blank     Blank
	FromShelf bool
	Value     *Amount // what one transfer on the shelf is worth; nil: what making one costs
	Quantity  int
}

// Line is one line of a cost: what it is for, the amount for one piece to four
// decimals, how it comes about, and where its figures come from. Seconds are those
// of a person's work in it.
type Line struct {
	What    string   `json:"what"`
	Amount  Amount   `json:"amount"`
	How     string   `json:"how"`
	Sources []string `json:"sources"`
	Seconds Amount   `json:"seconds"`
	Wages   bool     `json:"wages"` // it is pay for the work
}

// Cost is what one piece costs, line by line. Total is the sum of the lines, and
// Seconds that of their work.
type Cost struct {
	Lines   []Line `json:"lines"`
	Total   Amount `json:"total"`
	Seconds Amount `json:"seconds"`
}

func (c *Cost) add(l Line) {
	c.Lines = append(c.Lines, l)
	c.Total = c.Total.Add(l.Amount)
	c.Seconds = c.Seconds.Add(l.Seconds)
}

// Wages gives what of the cost is pay for work.
func (c Cost) Wages() Amount {
	sum := Amount{}
	for _, l := range c.Lines {
		if l.Wages {
			sum = sum.Add(l.Amount)
		}
	}
	return sum
}

// costing is one cost on its way.
type costing struct {
	Settings
	Cost
	materials Amount // what waste is reckoned on
}

// quotient divides and rounds once, to the decimals of a line.
func quotient(x, by Amount) Amount { return x.DivRound(by, linePlaces) }

// source says where a setting comes from, with its name.
func (s Settings) source(name string) string { return name + ": " + string(s.Given[name].Source) }

func (c *costing) material(what string, amount Amount, how string, sources ...string) {
	c.materials = c.materials.Add(amount)
	c.add(Line{What: what, Amount: amount, How: how, Sources: sources})
}

// parts adds what a part of a whole costs; for nothing, nothing.
func (c *costing) parts(what, name string, p Part, price Amount) {
	if p.Number == 0 {
		return
	}
	how := fmt.Sprintf("%d of %d from a sheet at %s", p.Number, p.Of, price)
	c.material(what, quotient(price.Mul(whole(p.Number)), whole(p.Of)), how, c.source(name))
}

// work adds the pay for times × seconds, shared by so many pieces.
func (c *costing) work(what, name string, times Amount, unit string, shared int) {
	seconds := c.Works[name]
	c.paid(what, name, times.Mul(seconds), fmt.Sprintf("%s × %s s", many(times, unit), seconds), shared, c.source(name))
}

// many writes a number of something.
func many(n Amount, unit string) string {
	if n.Equal(one()) {
		return "1 " + unit
	}
	return n.String() + " " + unit + "s"
}

// rate gives what an hour of a kind of work is paid, and the setting that says so.
func (s Settings) rate(work string) (Amount, string) {
	if own, ok := s.Rates[work]; ok {
		return own, rateOf(work)
	}
	return s.Labour, "labour"
}

// paid adds the pay for seconds of a kind of work, shared by so many pieces.
func (c *costing) paid(what, work string, seconds Amount, how string, shared int, source string) {
	if seconds.IsZero() {
		return
	}
	rate, from := c.rate(work)
	how += fmt.Sprintf(" at %s an hour", rate)
	if shared > 1 {
		how += fmt.Sprintf(", shared by %d", shared)
	}
	c.add(Line{
		What: what, Amount: quotient(seconds.Mul(rate), hour().Mul(whole(shared))), How: how, Wages: true,
		Sources: []string{source, c.source(from)}, Seconds: quotient(seconds, whole(shared)),
	})
}

// machine adds what seconds at a machine cost, shared by so many pieces.
func (c *costing) machine(what, name string, seconds, rate Amount, shared int) {
	if rate.IsZero() || seconds.IsZero() {
		return
	}
	how := fmt.Sprintf("%s s at %s an hour", seconds, rate)
	if shared > 1 {
		how += fmt.Sprintf(", shared by %d", shared)
	}
	c.add(Line{What: what, Amount: quotient(seconds.Mul(rate), hour().Mul(whole(shared))), How: how, Sources: []string{c.source(name)}})
}

// finish adds waste and overhead over what is there, and gives the cost.
func (c *costing) finish() Cost {
	if waste := c.materials.Mul(c.Waste).Round(linePlaces); !waste.IsZero() {
		c.add(Line{What: "waste", Amount: waste, How: Percent(c.Waste) + " of " + c.materials.String(), Sources: []string{c.source("waste")}})
	}
	if !c.Overhead.IsZero() && !c.Seconds.IsZero() {
		how := fmt.Sprintf("%s s of work at %s an hour", c.Seconds, c.Overhead)
		c.add(Line{What: "overhead", Amount: quotient(c.Seconds.Mul(c.Overhead), hour()), How: how, Sources: []string{c.source("overhead")}})
	}
	return c.Cost
}

// template adds a template's own cost, shared by so many transfers.
func (c *costing) template(p Piece, shared int) {
	how := fmt.Sprintf("%s of a sheet at %s", p.Flock, c.Flock)
	if shared > 1 {
		how += fmt.Sprintf(", shared by %d", shared)
	}
	c.add(Line{What: "template: flock", Amount: quotient(p.Flock.Mul(c.Flock), whole(shared)), How: how, Sources: []string{c.source("flock"), c.source("reuses")}})
	c.machine("template: cutter", "cutter", p.Cutting, c.Cutter, shared)
	c.work("template: load", Load, whole(p.Sheets), "sheet", shared)
	c.paid("template: cut", Cutting, p.Cutting, fmt.Sprintf("%s s beside the cutter", p.Cutting), shared, "cutting: estimated from the cutter's speeds")
	c.work("template: weed", Weed, whole(p.Holes).Shift(-2), "hundred hole", shared)
}

// transfer adds what goes into a transfer until it lies on its tape.
func (c *costing) transfer(p Piece) {
	for _, k := range p.Stones {
		how := fmt.Sprintf("%d × %s ÷ %d", k.Pieces, k.Value, k.Of)
		c.material(k.Kind, quotient(k.Value.Mul(whole(k.Pieces)), whole(k.Of)), how, k.Kind+": "+string(k.Source))
	}
	c.parts("tape", "tape", p.Tape, c.Tape)
	c.template(p, c.Reuses)
	c.brushing(p)
}

// brushing adds the work on the tray.
func (c *costing) brushing(p Piece) {
	c.work("brush", Brush, whole(p.Plates), "plate", 1)
	c.work("tidy", Tidy, whole(p.count()).Shift(-2), "hundred stone", 1)
	c.work("lift", Lift, whole(p.Plates), "plate", 1)
}

// finishing adds what makes goods of a transfer.
func (c *costing) finishing(p Piece, m Making) {
	if m.For == ForDecal {
		c.parts("film", "film", p.Film, c.Film)
	}
	if m.Blank.Name != "" {
		c.material(m.Blank.Name, m.Blank.Cost, "one at "+m.Blank.Cost.String(), m.Blank.Name+": "+string(m.Blank.Source))
	}
	if m.For != ForTransfer {
		c.work("press", Press, one(), "transfer", 1)
		c.machine("heat press", "heat-press", c.Works[Press], c.HeatPress, 1)
	}
	c.work("pack", Pack, one(), "piece", 1)
}

// CostOf gives what one piece costs. Faults: "price-unset" for settings that are
// needed and not set, "price-order" for a piece or a making that cannot be.
func CostOf(p Piece, m Making, s Settings) (Cost, error) {
	if err := s.ready(p, m); err != nil {
		return Cost{}, err
	}
	c := costing{Settings: s}
	if !m.FromShelf {
		c.transfer(p)
		c.work("design", Design, one(), "line", m.Quantity)
		c.work("set up", SetUp, one(), "line", m.Quantity)
		c.finishing(p, m)
		return c.finish(), nil
	}
	value, how, source := Amount{}, "what making one costs", "transfer: as if made today"
	if m.Value != nil {
		value, how, source = *m.Value, "what it is worth on the shelf", "transfer: lots on hand"
	} else {
		made := costing{Settings: s}
		made.transfer(p)
		value = made.finish().Total
	}
	c.add(Line{What: "transfer from the shelf", Amount: value, How: how, Sources: []string{source}})
	c.finishing(p, m)
	return c.finish(), nil
}

// ready refuses what cannot be reckoned.
func (s Settings) ready(p Piece, m Making) error {
	wanted := []string{"labour", "flock", "tape"}
	if m.For == ForDecal {
		wanted = append(wanted, "film")
	}
	if err := s.need(wanted...); err != nil {
		return err
	}
	bad := func(text string, args ...any) error { return fault.New("price-order", p.Design, text, args...) }
	switch {
	case m.Quantity < 1 || m.Quantity > mostQuantity:
		return bad("%d pieces cannot be ordered; give 1 to %d", m.Quantity, mostQuantity)
	case m.For == "" || strings.TrimSpace(m.For) != m.For:
		return bad("say what the pieces are for, such as transfer, decal or disc")
	case m.Blank.Name != "" && (m.For == ForTransfer || m.For == ForDecal):
		return bad("a %s is pressed on no blank; leave %q out", m.For, m.Blank.Name)
	case p.Tape.Number > 0 && p.Tape.Of < 1 || p.Film.Number > 0 && p.Film.Of < 1 || m.For == ForDecal && p.Film.Number < 1:
		return bad("a part of a sheet of tape or film cannot be; make the design anew")
	case m.Blank.Cost.IsNegative() || m.Blank.Cost.GreaterThan(whole(most)) || m.Value != nil && (m.Value.IsNegative() || m.Value.GreaterThan(whole(most))):
		return bad("a blank at %s, or a transfer at such a value, cannot be; give 0 to %d", m.Blank.Cost, most)
	}
	for _, k := range p.Stones {
		if k.Pieces < 0 || k.Of < 1 || k.Value.IsNegative() {
			return bad("%d stones of %s at %s for %d cannot be", k.Pieces, k.Kind, k.Value, k.Of)
		}
	}
	return nil
}
