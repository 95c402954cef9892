package price

import (
	"maps"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// Source says where a figure comes from.
type Source string

// The classes of sources. A shop's timings say how many there are after it.
const (
	Own            Source = "set by the shop"
	Timed          Source = "timed by the shop"
	CommonPractice Source = "common practice"
	FromMemory     Source = "from memory"
	Off            Source = "not used"
	AsLabour       Source = "as labour"
	Unset          Source = "not set"
)

// Value is a setting as it was written, and where it comes from.
type Value struct {
	Text   string `json:"value"`
	Source Source `json:"source"`
}

// Setting is something that a shop can set. Unit says what its number is of.
// Default is what stands until it is set; Source is where that comes from. Unset
// ones must be set before a price that needs them.
type Setting struct {
	Name    string
	Unit    string
	About   string
	Default string
	Source  Source
}

// Settings are all that prices depend on besides the design and the order.
// Labour, Cutter, HeatPress, Overhead and Wage are for an hour; Flock, Tape and
// Film for a sheet; shares are parts of one. Works are seconds for one. Rates are for an
// hour of a kind of work that is not paid as Labour says. Given is
// what was said, with the sources; it is all that Read needs to give the same again.
type Settings struct {
	Labour, Cutter, HeatPress, Overhead, Wage Amount
	Flock, Tape, Film                         Amount
	Waste, Rush                               Amount
	Reuses                                    int
	Works                                     map[string]Amount
	Rates                                     map[string]Amount
	Target                                    Target
	Grid                                      Grid
	Breaks                                    []Discount
	Fees                                      map[string]Fee
	Tax                                       Tax
	Currency                                  string // of ISO 4217; empty: not said
	Language                                  wording.Language
	Coin                                      Coin
	Shop                                      string // its name, and lines to stand below it, with semicolons between
	ValidDays                                 int
	Given                                     map[string]Value
}

// List gives every setting, in the order of docs/pricing.md.
func List() []Setting {
	var out []Setting
	for _, r := range table() {
		out = append(out, r.Setting)
	}
	return out
}

// CheckSetting gives a setting's name as it is kept, and refuses one that is not
// known or a value that it cannot have: "price-setting", "price-value".
func CheckSetting(name, value string) (string, error) {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	var s Settings
	s.begin()
	return name, s.take(name, value)
}

func (s *Settings) begin() {
	s.Works, s.Rates, s.Fees, s.Given = map[string]Amount{}, map[string]Amount{}, map[string]Fee{}, map[string]Value{}
	s.Coin = usualCoin
}

// take sets one value.
func (s *Settings) take(name, value string) error {
	for _, r := range table() {
		if r.Name == name {
			return placed(name, r.set(s, strings.TrimSpace(value)))
		}
	}
	var names []string
	for _, r := range table() {
		names = append(names, r.Name)
	}
	return fault.New("price-setting", name, "there is no setting of this name; there are %s", strings.Join(names, ", "))
}

// placed names a setting as the place of a fault.
func placed(name string, err error) error {
	return fault.Placed(err, func(string) string { return name })
}

// Read gives the settings with what was said, and the defaults for the others.
// Given names every setting in the answer. Faults "price-setting", "price-value".
func Read(given map[string]Value) (Settings, error) {
	var s Settings
	s.begin()
	for _, r := range table() {
		v, ok := given[r.Name]
		if !ok {
			v = Value{r.Default, r.Source}
		}
		if v.Source == Unset {
			continue
		}
		if err := s.take(r.Name, v.Text); err != nil {
			return s, err
		}
		s.Given[r.Name] = v
	}
	for name, v := range given {
		if _, ok := s.Given[name]; ok {
			continue
		}
		if err := s.take(name, v.Text); err != nil {
			return s, err
		}
		s.Given[name] = v
	}
	return s, s.check()
}

// With gives the settings with some said anew, for one order.
func (s Settings) With(changes map[string]string) (Settings, error) {
	given := maps.Clone(s.Given)
	for name, text := range changes {
		name, err := CheckSetting(name, text)
		if err != nil {
			return s, err
		}
		given[name] = Value{text, ThisOrder}
	}
	return Read(given)
}

// ThisOrder is the source of what was said for one order alone.
const ThisOrder Source = "said for this order"

// check refuses settings that do not go together.
func (s Settings) check() error {
	coin := s.Coin.Least()
	for _, x := range []Amount{s.Grid.Step, s.Grid.Ending} {
		if !x.Mod(coin).IsZero() {
			return fault.New("price-value", "rounding", "prices in steps of %s are finer than the smallest coin, %s; make the steps coarser", x, coin)
		}
	}
	for name, f := range s.Fees {
		if !f.Fixed.Mod(coin).IsZero() {
			return fault.New("price-value", name, "a fee of %s is finer than the smallest coin, %s", f.Fixed, coin)
		}
	}
	return nil
}

// need refuses settings that are not set, all at once. Fault "price-unset".
func (s Settings) need(names ...string) error {
	var missing []string
	for _, n := range names {
		if _, ok := s.Given[n]; !ok {
			missing = append(missing, n)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return fault.New("price-unset", strings.Join(missing, ", "), "not set yet; say what they are: brushfall price set %s=AMOUNT", strings.Join(missing, "=AMOUNT ")).
		OnPage("not set yet; say what it is under Prices")
}
