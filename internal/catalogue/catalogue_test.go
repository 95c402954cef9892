package catalogue

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/fault"
)

// The sizes of the trade: SS10 is common practice, the others are from memory.
func TestSizesAsTheTradeKnowsThem(t *testing.T) {
	for _, c := range []struct {
		name              string
		smallest, largest float64
	}{
		{"SS3", 1.3, 1.5},
		{"SS4", 1.5, 1.7},
		{"SS5", 1.7, 1.9},
		{"SS6", 1.9, 2.1},
		{"SS7", 2.1, 2.3},
		{"SS8", 2.3, 2.5},
		{"SS9", 2.5, 2.7},
		{"SS10", 2.7, 2.9},
		{"SS12", 3.0, 3.2},
		{"SS14", 3.4, 3.6},
		{"SS16", 3.8, 4.0},
		{"SS20", 4.6, 4.8},
		{"SS30", 6.3, 6.5},
		{"SS34", 7.0, 7.3},
		{"SS40", 8.4, 8.7},
	} {
		s, err := FindSize(c.name)
		if err != nil || s.Smallest != c.smallest || s.Largest != c.largest {
			t.Errorf("%s: %+v %v, want %g to %g mm", c.name, s, err, c.smallest, c.largest)
		}
		if got := strings.HasPrefix(s.DiameterSource, "common practice"); got != (c.name == "SS10") {
			t.Errorf("%s: source %q", c.name, s.DiameterSource)
		}
	}
	if len(Sizes()) != 15 {
		t.Errorf("%d sizes, checked 15", len(Sizes()))
	}
}

// Published size charts give these ranges or nominal diameters in mm. SS14 is
// in none that we saw. A row that says that they agree must lie within 0.1 mm
// of every one of them, and a row off by more must not say so.
func TestSizesAgainstPublishedCharts(t *testing.T) {
	ranges := []struct {
		name     string
		min, max float64
	}{
		{"SS3", 1.35, 1.50},
		{"SS4", 1.50, 1.70},
		{"SS5", 1.70, 1.90},
		{"SS6", 1.90, 2.10},
		{"SS7", 2.10, 2.30},
		{"SS8", 2.30, 2.50},
		{"SS9", 2.50, 2.70},
		{"SS10", 2.70, 2.90},
		{"SS12", 3.00, 3.20},
		{"SS16", 3.80, 4.00},
		{"SS20", 4.60, 4.80},
		{"SS30", 6.32, 6.50},
		{"SS30", 6.30, 6.50},
		{"SS34", 7.07, 7.27},
		{"SS34", 7.10, 7.30},
	}
	seen := map[string]bool{}
	for _, c := range ranges {
		s, err := FindSize(c.name)
		if err != nil || math.Abs(s.Smallest-c.min) > 0.1+1e-9 || math.Abs(s.Largest-c.max) > 0.1+1e-9 {
			t.Errorf("%s: %g to %g mm, the charts say %g to %g (%v)", c.name, s.Smallest, s.Largest, c.min, c.max, err)
		}
		seen[c.name] = true
	}
	// Nominal diameters, called approximations by the chart: within 0.05 mm of the range.
	for name, d := range map[string]float64{
		"SS6": 2.0, "SS8": 2.3, "SS9": 2.6, "SS10": 2.8, "SS12": 3.0, "SS16": 4.0, "SS20": 4.7, "SS30": 6.4, "SS34": 7.1, "SS40": 8.6,
	} {
		s, err := FindSize(name)
		if err != nil || d < s.Smallest-0.05 || d > s.Largest+0.05 {
			t.Errorf("%s: %g to %g mm, the chart's nominal is %g (%v)", name, s.Smallest, s.Largest, d, err)
		}
	}
	for _, s := range Sizes() {
		if strings.Contains(s.DiameterSource, "published size charts agree") && !seen[s.Name] {
			t.Errorf("%s claims to agree with charts that do not list it", s.Name)
		}
	}
}

// The holes that shops cut, from memory: SS6 ≈ 2.4, SS10 3.2 to 3.3, SS16 4.4
// to 4.6, SS20 5.2 to 5.4, SS30 ≈ 7.0 mm.
func TestHolesAsShopsCutThem(t *testing.T) {
	for name, want := range map[string][2]float64{
		"SS6": {2.4, 2.4}, "SS10": {3.2, 3.3}, "SS16": {4.4, 4.6}, "SS20": {5.2, 5.4}, "SS30": {7.0, 7.0},
	} {
		s, err := FindSize(name)
		if err != nil || s.Hole < want[0] || s.Hole > want[1] {
			t.Errorf("%s: hole %g mm, want %g to %g (%v)", name, s.Hole, want[0], want[1], err)
		}
	}
}

// What holds of any size: it rises in all its figures with the next smaller
// one, the stone fits its hole with some play but cannot lie in it two abreast
// or on edge askew, and every figure says where it comes from.
func TestSizesHangTogether(t *testing.T) {
	sizes := Sizes()
	for i, s := range sizes {
		if !(0 < s.Smallest && s.Smallest < s.Largest && s.Largest < s.Hole && s.Hole < 1.25*s.Largest) {
			t.Errorf("%s: %g to %g mm in a hole of %g", s.Name, s.Smallest, s.Largest, s.Hole)
		}
		if !(0 < s.Height && s.Height < s.Smallest) {
			t.Errorf("%s: %g mm high and %g wide: it would stand on its side", s.Name, s.Height, s.Smallest)
		}
		if s.DiameterSource == "" || s.HoleSource == "" {
			t.Errorf("%s: a figure without a source", s.Name)
		}
		if i == 0 {
			continue
		}
		p := sizes[i-1]
		if s.Smallest < p.Largest-1e-9 || s.Hole <= p.Hole || s.Height <= p.Height || s.Mass <= p.Mass || s.Fit() < p.Fit()-1e-9 {
			t.Errorf("%s does not rise above %s: %+v %+v", s.Name, p.Name, s, p)
		}
	}
}

// The mass must be that of glass of about the stone's form: crystal glass has
// 2.4 to 3.0 g/cm³ (from memory), and a faceted cone on a low drum takes up 45
// to 80 % of the cylinder around it.
func TestMassesAreThoseOfGlass(t *testing.T) {
	for _, s := range Sizes() {
		d := (s.Smallest + s.Largest) / 2
		cylinder := math.Pi / 4 * d * d * s.Height / 1000 // cm³
		if s.Mass < 2.4*0.45*cylinder || s.Mass > 3.0*0.80*cylinder {
			t.Errorf("%s: %g g in a cylinder of %g cm³ is %.2f g/cm³", s.Name, s.Mass, cylinder, s.Mass/cylinder)
		}
	}
}

// SS6, SS10 and SS16 are the everyday sizes of lettering and logos, SS20 goes
// on tumblers, SS30 in the middle of a badge reel (common practice); SS6, SS10
// and SS16 can share a template, SS10 and SS12 cannot.
func TestWhatTheTradeDoesWithSizes(t *testing.T) {
	everyday := map[string]bool{"SS6": true, "SS10": true, "SS16": true, "SS20": true, "SS30": true}
	for _, s := range Sizes() {
		if s.Everyday != everyday[s.Name] {
			t.Errorf("%s: everyday %v", s.Name, s.Everyday)
		}
	}
	size := func(name string) Size {
		s, err := FindSize(name)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for _, c := range []struct {
		large, small string
		falls        bool
	}{{"SS10", "SS6", false}, {"SS16", "SS10", false}, {"SS16", "SS6", false}, {"SS12", "SS10", true}, {"SS7", "SS6", true}} {
		if got := size(c.large).Falls(size(c.small)); got != c.falls {
			t.Errorf("%s falls into %s: %v", c.large, c.small, got)
		}
	}
	if s := size("SS10"); math.Abs(s.Gap(0.5)-0.9) > 1e-9 {
		t.Errorf("tightest gap of SS10: %g, want 0.4 + 0.5 mm", s.Gap(0.5))
	}
}

// A gross is 144, a pack ten of them (common practice); sheets are 12 × 20 and
// 12 × 12 in, and an inch is 25.4 mm (international yard and pound agreement, 1959).
func TestPacksAndSheets(t *testing.T) {
	if Gross != 12*12 || Pack != 1440 || PackByWeight <= Pack {
		t.Errorf("gross %d, pack %d, by weight %d", Gross, Pack, PackByWeight)
	}
	for _, c := range [][2]float64{{FlockWidth, 12}, {FlockHeight, 20}, {TapeWidth, 12}, {TapeHeight, 12}} {
		if math.Abs(c[0]-c[1]*25.4) > 1e-9 {
			t.Errorf("%g mm is not %g in", c[0], c[1])
		}
	}
}

func TestColours(t *testing.T) {
	hex := regexp.MustCompile(`^#[0-9a-f]{6}$`)
	name := regexp.MustCompile(`^[a-z]+( [a-z]+)*$`)
	finishes := []Finish{Clear, AB, Opaque, Opal, Metal}
	seen := map[string]bool{}
	for _, c := range Colours() {
		if !name.MatchString(c.Name) || !hex.MatchString(c.Hex) || !slices.Contains(finishes, c.Finish) || c.Source == "" {
			t.Errorf("%+v", c)
		}
		if seen[c.Name] || seen[c.Hex] {
			t.Errorf("%s or its %s is there twice", c.Name, c.Hex)
		}
		// "AB" in a name means the iridescent coating (common practice).
		if slices.Contains(strings.Fields(c.Name), "ab") != (c.Finish == AB) {
			t.Errorf("%s has the finish %s", c.Name, c.Finish)
		}
		seen[c.Name], seen[c.Hex] = true, true
	}
	if len(Colours()) < 20 {
		t.Errorf("%d colours", len(Colours()))
	}
}

func TestLookingThingsUp(t *testing.T) {
	for _, name := range []string{"SS10", "ss10", " ss 10 ", "Ss10"} {
		if s, err := FindSize(name); err != nil || s.Name != "SS10" {
			t.Errorf("%q: %v %v", name, s.Name, err)
		}
	}
	for _, name := range []string{"crystal ab", "Crystal AB", "  crystal   ab "} {
		if c, err := FindColour(name); err != nil || c.Finish != AB {
			t.Errorf("%q: %v %v", name, c, err)
		}
	}
	_, err := FindSize("SS11")
	if fault.CodeOf(err) != "size-unknown" || !strings.Contains(err.Error(), "SS9, SS10, SS12") {
		t.Errorf("SS11: %v", err)
	}
	_, err = FindColour("mud")
	if fault.CodeOf(err) != "colour-unknown" || !strings.Contains(err.Error(), "crystal, crystal ab") {
		t.Errorf("mud: %v", err)
	}
	Sizes()[0].Name = "changed"
	Colours()[0].Name = "changed"
	if Sizes()[0].Name != "SS3" || Colours()[0].Name != "crystal" {
		t.Error("a caller can change the tables")
	}
}
