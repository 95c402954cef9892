package price

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// The works that take a person's time, each the name of a setting in seconds for
// one of its unit.
const (
	Design = "design"
	SetUp  = "set-up"
	Load   = "load"
	Weed   = "weed"
	Brush  = "brush"
	Tidy   = "tidy"
	Lift   = "lift"
	Press  = "press"
	Pack   = "pack"
	Place  = "place"
)

// Cutting is the work beside the cutter, whose time follows from the sheets.
const Cutting = "cut"

// kindsOfWork lists the kinds of work that may have a rate of their own.
func kindsOfWork() []string {
	return []string{Design, SetUp, Load, Cutting, Weed, Brush, Tidy, Lift, Press, Pack, Place}
}

// row is a setting and how it is read.
type row struct {
	Setting
	set func(s *Settings, text string) error
}

// table has every setting. What brushing takes (under 15 s for a small template)
// and that flock is brushed hundreds of times is common practice; the other times,
// shares and numbers are from memory.
func table() []row {
	return slices.Concat(pay(), figures())
}

// pay is what work is paid: the rate for all of it, and those of its kinds.
func pay() []row {
	out := []row{{Setting{"labour", "an hour", "what an hour of work is paid", "", Unset}, money(func(s *Settings) *Amount { return &s.Labour })}}
	for _, work := range kindsOfWork() {
		out = append(out, rate(work))
	}
	return out
}

// figures are all others.
func figures() []row {
	return []row{
		{Setting{"wage", "an hour", "an hourly wage you wish for; quotes say which price gives it", "0", Off}, money(func(s *Settings) *Amount { return &s.Wage })},
		{Setting{"overhead", "an hour of work", "rent, light, insurance and the like", "0", Off}, money(func(s *Settings) *Amount { return &s.Overhead })},
		{Setting{"cutter", "an hour of cutting", "wear, blades and power of the cutter", "0", Off}, money(func(s *Settings) *Amount { return &s.Cutter })},
		{Setting{"heat-press", "an hour of pressing", "wear and power of the press", "0", Off}, money(func(s *Settings) *Amount { return &s.HeatPress })},
		{Setting{"flock", "a sheet of 12 × 20 in", "template flock", "", Unset}, money(func(s *Settings) *Amount { return &s.Flock })},
		{Setting{"tape", "a sheet of 12 × 12 in", "application tape", "", Unset}, money(func(s *Settings) *Amount { return &s.Tape })},
		{Setting{"film", "a sheet of 12 × 12 in", "decal film", "", Unset}, money(func(s *Settings) *Amount { return &s.Film })},
		{Setting{"waste", "of stones, tape, film and blanks", "what is spoiled", "2%", FromMemory}, share(100, func(s *Settings) *Amount { return &s.Waste })},
		{Setting{"reuses", "transfers", "how often a template is brushed before it is cut anew; hundreds of times is common practice", "200", FromMemory}, count(func(s *Settings) *int { return &s.Reuses })},
		{Setting{Design, "seconds for a line of an order", "drawing what a line needs, shared by its pieces; best said for one quote alone", "0", Off}, seconds(Design)},
		work(SetUp, "a line of an order", "finding or loading what is needed, laying out the tray", "600", FromMemory),
		work(Load, "a sheet of flock", "loading the cutter and taking the sheet out; the cutting itself comes on top", "120", FromMemory),
		work(Weed, "100 holes", "peeling a template off its discs", "20", FromMemory),
		work(Brush, "a plate", "pouring and brushing; under 15 s for a small template", "15", CommonPractice),
		work(Tidy, "100 stones", "turning stones and mending gaps with tweezers", "10", FromMemory),
		work(Lift, "a plate", "folding the tape down, rubbing, lifting", "20", FromMemory),
		work(Press, "a transfer", "placing, pressing and pressing once more", "60", FromMemory),
		work(Pack, "a piece", "looking it over, packing it", "30", FromMemory),
		work(Place, "a stone", "setting a stone by hand, to compare with", "4", FromMemory),
		{Setting{"target", "", "what you want to earn: margin 40% of the price, or markup 60% on the cost", "margin 40%", FromMemory}, func(s *Settings, text string) (err error) { s.Target, err = ParseTarget(text); return err }},
		{Setting{"rounding", "", "how prices are rounded: up 0.05, nearest 0.10, up 1, up x.99", "up 0.05", FromMemory}, func(s *Settings, text string) (err error) { s.Grid, err = ParseGrid(text); return err }},
		{Setting{"breaks", "", "less for more: 12:5%, 50:10%", "", Off}, func(s *Settings, text string) (err error) { s.Breaks, err = ParseDiscounts(text); return err }},
		{Setting{"rush", "of the prices", "what is added when it must be quick", "25%", FromMemory}, share(500, func(s *Settings) *Amount { return &s.Rush })},
		fee("card", "what card payments cost: 1.9% + 0.25"),
		fee("market", "what a marketplace takes: 6.5% + 0.20"),
		{Setting{"tax", "", "on sales: 20% contained in prices, or 20% added to them; several with names: Country 5%, Town 2.25% added", "0% added", Off}, func(s *Settings, text string) (err error) { s.Tax, err = ParseTax(text); return err }},
		{Setting{"currency", "", "the code of your money by ISO 4217: EUR, GBP, USD; it says the smallest coin too", "", Unset}, func(s *Settings, text string) (err error) {
			s.Currency, s.Coin, err = parseCurrency(text)
			return err
		}},
		{Setting{"language", "", "what papers and amounts are written in: en, de, es", "en", FromMemory}, func(s *Settings, text string) error {
			var err error
			if s.Language, err = wording.Find(text); err != nil {
				return fault.New("price-value", "", "%v", err)
			}
			return nil
		}},
		{Setting{"shop", "", "your name, and what stands below it on papers: Saltmarsh Sparkle; Reed Lane 3", "", Unset}, letterhead},
		{Setting{"valid", "days", "how long a quote is good for", "30", FromMemory}, count(func(s *Settings) *int { return &s.ValidDays })},
	}
}

// mostLetterhead bounds the shop's name and address, in bytes.
const mostLetterhead = 400

func letterhead(s *Settings, text string) error {
	if text == "" || len(text) > mostLetterhead || !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
		return fault.New("price-value", "", "write a name and what is to stand below it, with semicolons between, at most %d bytes", mostLetterhead)
	}
	s.Shop = text
	return nil
}

func money(at func(*Settings) *Amount) func(*Settings, string) error {
	return func(s *Settings, text string) (err error) {
		*at(s), err = parseNumber(text, linePlaces)
		return err
	}
}

func share(limit int64, at func(*Settings) *Amount) func(*Settings, string) error {
	return func(s *Settings, text string) (err error) {
		*at(s), err = parseShare(text, limit)
		return err
	}
}

func count(at func(*Settings) *int) func(*Settings, string) error {
	return func(s *Settings, text string) error {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > most {
			return fault.New("price-value", "", "%q is no number; give 1 to %d", text, most)
		}
		*at(s) = n
		return nil
	}
}

// work is a setting in seconds.
func work(name, unit, about, defaults string, from Source) row {
	return row{Setting{name, "seconds for " + unit, about, defaults, from}, seconds(name)}
}

// seconds reads the time of a work.
func seconds(name string) func(*Settings, string) error {
	return func(s *Settings, text string) (err error) {
		s.Works[name], err = parseNumber(strings.TrimSuffix(text, "s"), linePlaces)
		return err
	}
}

// rateOf names the setting of what a kind of work is paid.
func rateOf(work string) string { return "labour-" + work }

// rate is what an hour of a kind of work is paid; nothing: as all work is.
func rate(work string) row {
	return row{Setting{rateOf(work), "an hour", "what an hour of this work is paid, if not what all is: " + work, "", AsLabour}, func(s *Settings, text string) error {
		delete(s.Rates, work)
		if text == "" {
			return nil
		}
		n, err := parseNumber(text, linePlaces)
		s.Rates[work] = n
		return err
	}}
}

// IsWork says whether a setting is of a work, which can be timed.
func IsWork(name string) bool {
	for _, r := range table() {
		if r.Name == name {
			return strings.HasPrefix(r.Unit, "seconds for ")
		}
	}
	return false
}

func fee(name, about string) row {
	return row{Setting{name, "of what is paid", about, "0% + 0", Off}, func(s *Settings, text string) error {
		f, err := ParseFee(text)
		f.Name = name
		s.Fees[name] = f
		return err
	}}
}
