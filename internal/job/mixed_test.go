package job

import (
	"math"
	"reflect"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
)

func TestParseMixedSizesAndPatterns(t *testing.T) {
	got, err := Parse("j.yaml", []byte(head+`
stone: {size: SS10, colour: crystal}
accents: {stone: {size: SS16}, every: 5}
fill: [{size: SS6}, {size: SS3, colour: jet}]
colours: {random: {Crystal: 70, jet: 30%}, seed: 7}
regions:
  - match: {id: a}
    accents: {stone: {colour: jet}, corners: yes}
    fill: none
    colours:
      rim: jet
      spine: {along: [crystal x 2, jet]}
      bed: {gradient: [light sapphire, cobalt], towards: 30 deg}
  - match: {id: b}
    stone: {size: SS6}
    accents: none
    colours: plain
  - match: {id: c}
    colours: {rows: [jet, crystal, jet], bed: siam}
`))
	if err != nil {
		t.Fatal(err)
	}
	jet, degrees := []string{"jet"}, 30.0
	random := layout.Coat{Pattern: layout.Random, Colours: []string{"crystal", "jet"}, Shares: []float64{70, 30}, Seed: 7}
	base := got.Setting
	if want := (&AccentWish{Stone: stone(t, "SS16", "crystal"), Every: 5}); !reflect.DeepEqual(base.Accents, want) {
		t.Errorf("accents %+v", base.Accents)
	}
	if want := []StoneWish{stone(t, "SS6", "crystal"), stone(t, "SS3", "jet")}; !reflect.DeepEqual(base.Fill, want) {
		t.Errorf("fill %+v", base.Fill)
	}
	if !reflect.DeepEqual(base.Colours, []layout.Coat{random}) {
		t.Errorf("colours %+v", base.Colours)
	}
	a, b, c := got.Regions[0], got.Regions[1], got.Regions[2]
	want := []layout.Coat{
		{Roles: []design.Role{design.RoleRim}, Colours: jet},
		{Roles: []design.Role{design.RoleSpine}, Pattern: layout.Along, Colours: []string{"crystal", "crystal", "jet"}},
		{Roles: []design.Role{design.RoleBed}, Pattern: layout.Gradient, Colours: []string{"light sapphire", "cobalt"}, Towards: degrees * math.Pi / 180},
	}
	if !reflect.DeepEqual(a.Colours, want) || a.Fill != nil {
		t.Errorf("rule a has %+v", a)
	}
	if want := (&AccentWish{Stone: stone(t, "SS10", "jet"), Every: math.MaxInt32, Corners: true}); !reflect.DeepEqual(a.Accents, want) {
		t.Errorf("accents of rule a %+v", a.Accents)
	}
	// The catalogue's SS3 is the only size of the job's fill smaller than SS6.
	if f := b.fills(0.5); b.Accents != nil || b.Colours != nil || len(f) != 1 || f[0].Size != "SS3" {
		t.Errorf("rule b has %+v and fills %+v", b, f)
	}
	want = []layout.Coat{
		{Roles: []design.Role{design.RoleBed}, Colours: []string{"siam"}},
		{Pattern: layout.ByRow, Colours: []string{"jet", "crystal", "jet"}},
	}
	if !reflect.DeepEqual(c.Colours, want) || len(c.Fill) != 2 {
		t.Errorf("rule c has %+v", c)
	}
}

func TestDirections(t *testing.T) {
	for text, want := range map[string]direction{
		"right": {}, "Down": {angle: math.Pi / 2}, "left": {angle: math.Pi}, "up": {angle: -math.Pi / 2},
		"outwards": {outward: true}, "-45°": {angle: -math.Pi / 4}, "90 deg": {angle: math.Pi / 2},
	} {
		if got, err := parseDirection(text); err != nil || math.Abs(got.angle-want.angle) > 1e-12 || got.outward != want.outward {
			t.Errorf("%q is %+v, %v; want %+v", text, got, err, want)
		}
	}
}

func TestFaultsOfMixedSizesAndPatterns(t *testing.T) {
	for _, c := range []faultCase{
		{"colours: jet\n", "colours", `j.yaml:3:10: colours takes a pattern, such as {along: [crystal, jet]}, or plain; one colour for all goes to stone: {colour: jet}`},
		{"colours: {allong: [crystal, jet]}\n", "job-key", `j.yaml:3:11: colours has no key "allong"; did you mean "along"?`},
		{"colours: {along: [crystal, jett]}\n", "colour-unknown", ``},
		{"colours: {along: jet}\n", "colours", `j.yaml:3:18: along takes 2 to 12 colours: along: [crystal, jet]; one colour for all goes to stone`},
		{"colours: {along: [crystal x 60, jet]}\n", "colours", `j.yaml:3:33: along may have 1 to 60 stones before it begins again`},
		{"colours: {along: [crystal x 0, jet]}\n", "colours", `j.yaml:3:19: along may have 1 to 60 stones before it begins again`},
		{"colours: {along: [crystal, jet], rows: [crystal, jet]}\n", "colours", `j.yaml:3:40: along and rows are two patterns; keep one of them, or give rim, spine and bed one each`},
		{"colours: {towards: down}\n", "colours", `j.yaml:3:10: the pattern is missing; choose along, rows, gradient or random`},
		{"colours: {along: [crystal, jet], towards: down}\n", "colours", `j.yaml:3:10: towards goes with gradient, not with along`},
		{"colours: {gradient: [crystal, jet], towards: east}\n", "colours", `j.yaml:3:46: there is no direction "east"; choose down, up, right, left or outwards, or an angle clockwise from rightwards such as 30 deg`},
		{"colours: {gradient: [crystal, jet, jet]}\n", "colours", `j.yaml:3:36: jet follows itself; leave one out`},
		{"colours: {rim: {gradient: [crystal, jet], seed: 1}}\n", "colours", `j.yaml:3:16: seed goes with random, not with gradient`},
		{"colours: {random: [crystal, jet]}\n", "colours", `j.yaml:3:19: random takes colours with their shares: random: {crystal: 70, jet: 30}`},
		{"colours: {random: {crystal: 70, jet: 0}}\n", "colours", `j.yaml:3:38: "0" is no share; write a number above 0, such as 70 for 70 of 100`},
		{"colours: {random: {crystal: 1, jet: 1}, seed: -1}\n", "colours", `j.yaml:3:47: "-1" is no seed; write a whole number from 0 to 4294967295: each gives another draw`},
		{"accents: {stone: {size: SS16}}\n", "accents", `j.yaml:3:10: say where the accents go: every: 5 for every fifth stone of a row, corners: yes for its corners, or both`},
		{"accents: {every: 5}\n", "accents", `j.yaml:3:10: the accents are SS10 crystal as the other stones are; give them another size or colour: stone: {size: SS16, colour: jet}`},
		{"accents: {stone: {size: SS16}, every: 1}\n", "accents", `j.yaml:3:39: every is "1"; it must be a whole number from 2 to 1000: 5 makes every fifth stone an accent`},
		{"treatment: bed\naccents: {stone: {size: SS16}, every: 5}\n", "accents", `j.yaml:4:10: accents stand in rows, and the treatment here has none; add rim or spine to it, or leave the accents out`},
		{"fill: {size: SS10}\n", "fill", `j.yaml:3:7: SS10 does not go into the gaps that SS10 leaves; the stones of fill must be smaller, each than the one before`},
		{"fill: [{size: SS5}, {size: SS6}]\n", "fill", `j.yaml:3:21: SS6 does not go into the gaps that SS5 leaves; the stones of fill must be smaller, each than the one before`},
		{"fill: []\n", "fill", `j.yaml:3:7: fill takes one to 3 stones: fill: {size: SS6, colour: crystal}, or none`},
		{"treatment: rim\nfill: {size: SS6}\n", "fill", `j.yaml:4:7: fill is for the gaps of a bed, and the treatment here has none; add bed to it, or leave fill out`},
	} {
		_, err := Parse("j.yaml", []byte(head+c.text))
		if err == nil || fault.CodeOf(err) != c.code || (c.want != "" && err.Error() != c.want) {
			t.Errorf("%q\n got [%s] %v\nwant [%s] %s", c.text, fault.CodeOf(err), err, c.code, c.want)
		}
	}
}
