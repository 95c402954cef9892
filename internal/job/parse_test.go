package job

import (
	"reflect"
	"strings"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/cut/pace"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/plate"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// fullJob uses every key of the form once.
const fullJob = `# the badge of the Saltmarsh Herons
design: Heron badge
artwork: art/heron.svg
width: 9.5 in
stone: {size: SS10, colour: crystal}
gap: auto
margin: 0.2 mm
treatment: auto
bed: echo
regions:
  - match: {fill: "#1F4E79"}
    treatment: [rim, bed]
    bed: comb
    stone: {size: SS6, colour: light sapphire}
    gap: 1 mm
    margin: 0
  - match:
      stroke: navy
      class: reeds
    treatment: spine
  - match: {id: background, layer: "0"}
    skip: yes
plates: colour
web: 0.6 mm
border: 8 mm
frame: {round: 0.5 in, register: crosses, code: Heron 7}
tape: {step: 0.8 mm}
mirror: yes
sheet: {width: 12 in, height: 20 in, margin: 5 mm}
flock: black velvet
cutter: {name: desk, offset: 0.3 mm, passes: 2}
garment: "#fff"
effort: live
paper: letter
language: de
press: polyester
`

func stone(t *testing.T, size, colour string) StoneWish {
	t.Helper()
	w, err := ParseStone(catalogue.Stones{}, StoneWish{}, size, colour)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestParseReadsEveryKey(t *testing.T) {
	got, err := Parse("heron.yaml", []byte(fullJob))
	if err != nil {
		t.Fatal(err)
	}
	base := Setting{Bed: design.Echo, Stone: stone(t, "SS10", "crystal"), Margin: 0.2}
	fill, reeds, skipped := base, base, base
	fill.Treatment, fill.Bed = []design.Treatment{design.Rim, design.Bed}, design.Comb
	fill.Stone, fill.Gap, fill.Margin = stone(t, "SS6", "light sapphire"), Gap{Fixed: true, Clear: 1}, 0
	reeds.Treatment = []design.Treatment{design.Spine}
	skipped.Skip = true
	want := Job{
		Design: "Heron badge", ArtworkName: "art/heron.svg", Width: 241.3, Setting: base,
		Regions: []Rule{
			{Match{Fill: "#1f4e79"}, fill, 11},
			{Match{Stroke: "#000080", Class: "reeds"}, reeds, 17},
			{Match{ID: "background", Layer: "0"}, skipped, 21},
		},
		Plates: Coloured, Web: 0.6, Border: 8, Frame: Frame{Round: 12.7, Register: plate.Crosses, Code: "HERON 7"},
		TapeStep: 0.8, Mirror: true, Sheet: Sheet{Width: 304.8, Height: 508, Margin: 5, Spacing: 3},
		Cutter:  Cutter{Name: "desk", Offset: 0.3, Overcut: unsaidOvercut, Swivel: usualSwivel, Passes: 2, Machine: pace.Usual()},
		Garment: "#ffffff", Effort: layout.Live, Paper: Letter, Language: wording.German, Press: ticket.Polyester,
		Flock: "black velvet",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

func TestParseFillsInTheDefaults(t *testing.T) {
	got, err := Parse("j.yaml", []byte("artwork: heron-badge.svg\nheight: 90 mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := Default("heron-badge.svg")
	want.Height = 90
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got.Design != "heron badge" || got.Stone.Size.Name != "SS10" || got.Gap.Fixed || got.Treatment != nil {
		t.Errorf("the defaults are %+v", got)
	}
}

// A rule that names a colour only keeps the job's size, wherever the job's
// stone stands in the file.
func TestRuleStartsFromTheJob(t *testing.T) {
	got, err := Parse("j.yaml", []byte(`
regions:
  - match: {class: eye}
    stone: {colour: jet}
artwork: a.svg
width: 100 mm
stone: {size: SS16, colour: siam}
gap: 2 mm
`))
	if err != nil {
		t.Fatal(err)
	}
	r := got.Regions[0]
	if !reflect.DeepEqual(r.Stone, stone(t, "SS16", "jet")) || r.Gap != (Gap{true, 2}) {
		t.Errorf("the rule has %+v", r)
	}
}

// The tightest gap of one plate is fit + web: SS10 has a hole of 3.3 mm for
// stones up to 2.9 mm (the catalogue), so 0.4 + 0.5 = 0.9 mm.
func TestGapAuto(t *testing.T) {
	size, err := catalogue.FindSize("SS10")
	if err != nil {
		t.Fatal(err)
	}
	if got := (Gap{}).Of(size, 0.5); got < 0.9-1e-9 || got > 0.9+1e-9 {
		t.Errorf("auto is %v, want 0.9", got)
	}
	if got := (Gap{Fixed: true, Clear: 0.3}).Of(size, 0.5); got != 0.3 {
		t.Errorf("a gap of 0.3 mm is %v", got)
	}
}

func TestMatch(t *testing.T) {
	fill := artwork.Region{ID: "path-1", Element: "eye", Classes: []string{"bird", "dark"}, Groups: []string{"badge", "head"}, Layer: "L1", Paint: "#1f4e79"}
	stroke := fill
	stroke.Stroke = true
	cases := []struct {
		match        Match
		fill, stroke bool
	}{
		{Match{}, true, true},
		{Match{Fill: "#1f4e79"}, true, false},
		{Match{Stroke: "#1f4e79"}, false, true},
		{Match{Fill: "#ffffff"}, false, false},
		{Match{ID: "eye"}, true, true},
		{Match{ID: "path-1"}, true, true},
		{Match{ID: "head"}, true, true},
		{Match{ID: "tail"}, false, false},
		{Match{Class: "dark"}, true, true},
		{Match{Class: "light"}, false, false},
		{Match{Layer: "L1"}, true, true},
		{Match{Layer: "L2"}, false, false},
		{Match{Fill: "#1f4e79", Class: "light"}, false, false},
	}
	for _, c := range cases {
		if a, b := c.match.Takes(fill), c.match.Takes(stroke); a != c.fill || b != c.stroke {
			t.Errorf("%+v takes the fill: %v, the stroke: %v; want %v, %v", c.match, a, b, c.fill, c.stroke)
		}
	}
}

func TestFirstRuleWins(t *testing.T) {
	j := Default("a.svg")
	j.Regions = []Rule{
		{Match: Match{Class: "x"}, Setting: Setting{Margin: 1}},
		{Match: Match{Class: "x"}, Setting: Setting{Margin: 2}},
		{Match: Match{Class: "y"}, Setting: Setting{Margin: 3}, Line: 9},
	}
	x := artwork.Region{Classes: []string{"x"}}
	if s, i := j.SettingFor(x); i != 0 || s.Margin != unit.Length(1) {
		t.Errorf("rule %d won with margin %v", i, s.Margin)
	}
	if _, i := j.SettingFor(artwork.Region{}); i != -1 {
		t.Errorf("a region that no rule picks got rule %d", i)
	}
	if unused := j.Unused([]artwork.Region{x}); len(unused) != 2 || unused[1].Line != 9 {
		t.Errorf("unused rules: %+v", unused)
	}
}

func TestNameFrom(t *testing.T) {
	for name, want := range map[string]string{
		"heron.svg": "heron", "art/heron-badge.svg": "heron badge", `C:\art\two_herons.dxf`: "two herons",
		"": "design", ".svg": "design", "/": "design", strings.Repeat("x", 200) + ".svg": "design",
	} {
		if got := nameFrom(name); got != want {
			t.Errorf("nameFrom(%q) = %q, want %q", name, got, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(fullJob))
	for _, c := range faultCases() {
		f.Add([]byte(c.text))
	}
	for _, seed := range []string{"- - - -", "a: &a [*a]", "? ? ?", "{{{{", "%YAML 1.2\n---\n", "|\n", "\"\\x\"", "<<: *x", "!!str a: b", "a:\n\t- b", "...", "key: >\n\n text"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		j, err := Parse("fuzz.yaml", text)
		if err != nil {
			if fault.CodeOf(err) == "" || !strings.HasPrefix(err.Error(), "fuzz.yaml") {
				t.Fatalf("a fault without code or place: %v", err)
			}
			return
		}
		if j.ArtworkName == "" || (j.Width > 0) == (j.Height > 0) || j.Stone.Size.Name == "" {
			t.Fatalf("a job that is not complete: %+v", j)
		}
	})
}
