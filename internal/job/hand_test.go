package job

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
)

func TestParseReadsEdits(t *testing.T) {
	got, err := Parse("j.yaml", []byte(head+`hand:
  - add: {region: crest, at: [0.5, 1], stone: {size: SS10, colour: siam}}
  - add: {region: crest, at: [0, .25]}
  - move: {region: "path 3", at: [0.1, 0.2], to: [0.3, 0.4]}
  - remove:
      region: wing
      at: [1, 1e-3]
  - recolour: {region: eye, at: [0.5, 0.5], colour: jet}
  - pin: {region: eye, at: [0.5, 0.5]}
`))
	if err != nil {
		t.Fatal(err)
	}
	jet, err := catalogue.FindColour("jet")
	if err != nil {
		t.Fatal(err)
	}
	want := []HandEdit{
		{Act: layout.ActAdd, Region: "crest", At: Spot{0.5, 1}, Stone: stone(t, "SS10", "siam"), Line: 4},
		{Act: layout.ActAdd, Region: "crest", At: Spot{0, 0.25}, Line: 5},
		{Act: layout.ActMove, Region: "path 3", At: Spot{0.1, 0.2}, To: Spot{0.3, 0.4}, Line: 6},
		{Act: layout.ActRemove, Region: "wing", At: Spot{1, 0.001}, Line: 7},
		{Act: layout.ActRecolour, Region: "eye", At: Spot{0.5, 0.5}, Colour: jet, Line: 10},
		{Act: layout.ActPin, Region: "eye", At: Spot{0.5, 0.5}, Line: 11},
	}
	if !reflect.DeepEqual(got.Hand, want) {
		t.Errorf("got  %+v\nwant %+v", got.Hand, want)
	}
}

func TestAppendHandLeavesTheRestAlone(t *testing.T) {
	e := HandEdit{Act: layout.ActRemove, Region: "eye", At: Spot{0.42, 1. / 3}}
	const line = "- remove: {region: eye, at: [0.42, 0.333333]}\n"
	for _, c := range []struct{ name, text, want string }{
		{"none yet", head + "# the end", head + "# the end\nhand:\n  " + line},
		{
			"last",
			head + "hand: # by Jo\n  # the eye\n  - pin: {region: eye, at: [0, 0]} # why\n\n# the end\n",
			head + "hand: # by Jo\n  # the eye\n  - pin: {region: eye, at: [0, 0]} # why\n  " + line + "\n# the end\n",
		},
		{
			"in the middle",
			"hand:\n- pin:\n    region: eye\n    at: [0, 0]\n\n# size\n" + head,
			"hand:\n- pin:\n    region: eye\n    at: [0, 0]\n" + line + "\n# size\n" + head,
		},
		{"no newline", head + "hand:\n  - pin: {region: eye, at: [0, 0]}", head + "hand:\n  - pin: {region: eye, at: [0, 0]}\n  " + line},
	} {
		for _, ending := range []string{"\n", "\r\n"} {
			text, want := strings.ReplaceAll(c.text, "\n", ending), strings.ReplaceAll(c.want, "\n", ending)
			got, err := AppendHand("j.yaml", []byte(text), e)
			if err != nil || string(got) != want {
				t.Errorf("%s: %v\n got %q\nwant %q", c.name, err, got, want)
			}
		}
	}
}

func TestAppendHandFaults(t *testing.T) {
	sound := HandEdit{Act: layout.ActPin, Region: "eye"}
	for _, c := range []struct {
		text, code string
		edit       HandEdit
	}{
		{head + "hand: [{pin: {region: eye, at: [0, 0]}}]\n", "hand-form", sound},
		{head + "hand: []\n", "hand-form", sound},
		{head, "hand-form", HandEdit{Act: layout.ActPin}},
		{head, "hand-form", HandEdit{Act: "paint", Region: "eye"}},
		{head, "hand-form", HandEdit{Act: layout.ActPin, Region: "eye", At: Spot{2, math.NaN()}}},
		{"nonsense", "job-value", sound},
	} {
		got, err := AppendHand("j.yaml", []byte(c.text), c.edit)
		if fault.CodeOf(err) != c.code {
			t.Errorf("%q and %v gave %q, %v", c.text, c.edit, got, err)
		}
	}
}

func FuzzAppendHand(f *testing.F) {
	f.Add([]byte(head+"hand:\n  - pin: {region: eye, at: [0, 0]}\n"), "eye", 0.5, 0.25)
	f.Add([]byte(head+"hand: []\n"), "a \"b\"\\", 1e-9, 1.0)
	f.Add([]byte(fullJob), "null", 2.0, math.NaN())
	f.Add([]byte("\ufeff"+head+"---\n"), "no", 0.0, 0.0)
	f.Fuzz(func(t *testing.T, text []byte, region string, x, y float64) {
		e := HandEdit{Act: layout.ActMove, Region: region, At: Spot{x, y}, To: Spot{y, x}}
		out, err := AppendHand("j.yaml", text, e)
		if err != nil {
			if fault.CodeOf(err) == "" {
				t.Fatalf("a fault without a code: %v", err)
			}
			return
		}
		j, err := Parse("j.yaml", out)
		if err != nil || j.Hand[len(j.Hand)-1].Region != region {
			t.Fatalf("%v: %q", err, out)
		}
		for line := range bytes.Lines(text) {
			if !bytes.Contains(out, bytes.TrimRight(line, "\r\n")) {
				t.Fatalf("the line %q is lost", line)
			}
		}
	})
}

// heronEdits are edits of the badge of the Saltmarsh Herons: the eye in another
// colour, a jewel on the crest's tip, one stone less on the wing, one moved along
// the nape, one held in the oar.
const heronEdits = `hand:
  - recolour: {region: eye, at: [0.3983, 0.1642], colour: jet}
  - add: {region: crest-upper, at: [0.5765, 0.2143], stone: {size: SS10, colour: siam}}
  - remove: {region: wing-covert, at: [0.533205, 0.436324]}
  - move: {region: heron-body, at: [0.47, 0.15], to: [0.475, 0.155]}
  - pin: {region: oar-tip, at: [0.7626, 0.2182]}
`

// heron gives the badge's job with some words of it replaced.
func heron(t *testing.T, more string, words ...string) Job {
	t.Helper()
	dir := filepath.Join("..", "..", "examples", "heron")
	text, err := os.ReadFile(filepath.Join(dir, "heron.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	j, err := Parse("heron.yaml", []byte(strings.NewReplacer(words...).Replace(string(text))+more))
	if err != nil {
		t.Fatal(err)
	}
	if j.Artwork, err = os.ReadFile(filepath.Join(dir, "heron.svg")); err != nil {
		t.Fatal(err)
	}
	return j
}

// laid lays a job out and inspects its stones.
func laid(t *testing.T, j Job) (design.Document, layout.Result) {
	t.Helper()
	d, err := j.drawing()
	if err != nil {
		t.Fatal(err)
	}
	picked, req := j.request(d.Drawing)
	res, err := layout.Run(context.Background(), req, nil)
	if err != nil {
		t.Fatal(err)
	}
	doc := j.document(d.Drawing, picked, req, res)
	for _, f := range inspect.InspectStones(doc) {
		t.Error(f)
	}
	return doc, res
}

// of gives the stones of a region.
func of(doc design.Document, region string) []design.Stone {
	var out []design.Stone
	for _, s := range doc.Stones {
		if s.Region == region {
			out = append(out, s)
		}
	}
	return out
}

// within gives those stones that are nearer to a place than far.
func within(doc design.Document, stones []design.Stone, s Spot, far float64) []design.Stone {
	var out []design.Stone
	for _, st := range stones {
		if math.Hypot(st.X-s[0]*doc.Width, st.Y-s[1]*doc.Height) < far {
			out = append(out, st)
		}
	}
	return out
}

// The edits stay where they are on the badge at other widths and with other
// stones, and nearly all are done: at 8 inches the eye is too small for a stone, and
// there and at wide gaps there is a gap of the wing's bed where one is to be taken away.
func TestEditsOfTheHeronSurvive(t *testing.T) {
	ss8 := []string{"SS6", "SS8", "size: SS10, colour: l", "size: SS8, colour: l", "size: SS10, colour: c", "size: SS8, colour: c"}
	for _, c := range []struct {
		name  string
		words []string
		told  []string
	}{
		{"9 in", nil, nil},
		{"8 in", []string{"width: 9 in", "width: 8 in"}, []string{"hand-none", "hand-none"}},
		{"10 in", []string{"width: 9 in", "width: 10 in"}, nil},
		{"SS8", ss8, nil},
		{"live", []string{"plates: fewest", "effort: live"}, nil},
		{"wide gaps", []string{"gap: auto", "gap: 1.4 mm"}, []string{"hand-none"}},
	} {
		doc, res := laid(t, heron(t, heronEdits, c.words...))
		var told []string
		for _, n := range res.Notes {
			if strings.HasPrefix(n.Code, "hand-") {
				told = append(told, n.Code)
				if !strings.Contains(n.Message, "hand of line 6") { // 66 and 68 of the job file
					t.Errorf("%s: %q names no line", c.name, n.Message)
				}
			}
		}
		if !reflect.DeepEqual(told, c.told) || res.Edits != 5-len(told) {
			t.Errorf("%s: %d edits are done, told are %v, want %v", c.name, res.Edits, told, c.told)
		}
		for _, s := range of(doc, "eye") {
			if s.Colour != "jet" {
				t.Errorf("%s: the eye is %s", c.name, s.Colour)
			}
		}
		tip := within(doc, of(doc, "crest-upper"), Spot{0.5765, 0.2143}, 0.2)
		if len(tip) != 1 || tip[0].Size != "SS10" || tip[0].Colour != "siam" || tip[0].Role != design.RoleHand {
			t.Errorf("%s: on the crest's tip stand %v", c.name, tip)
		}
		for _, e := range []struct {
			region string
			at     Spot
		}{{"heron-body", Spot{0.475, 0.155}}, {"oar-tip", Spot{0.7626, 0.2182}}} {
			if held := within(doc, of(doc, e.region), e.at, 0.5); len(held) != 1 || held[0].Role != design.RoleHand {
				t.Errorf("%s: at %v of %s stand %v", c.name, e.at, e.region, held)
			}
		}
		for _, r := range doc.Regions {
			if (len(r.Left) > 0) != (r.ID == "wing-covert" && len(told) == 0) {
				t.Errorf("%s: %s has places left free: %v", c.name, r.ID, r.Left)
			}
			for _, l := range r.Left {
				if near := within(doc, doc.Stones, Spot{l.X / doc.Width, l.Y / doc.Height}, r.Pitch-1e-5); len(near) > 0 {
					t.Errorf("%s: the place left free on the wing has %v", c.name, near)
				}
			}
		}
	}
}

// Edits change what they are about and nothing else of the badge.
func TestEditsOfTheHeronStayThere(t *testing.T) {
	before, _ := laid(t, heron(t, ""))
	after, _ := laid(t, heron(t, heronEdits))
	relaid := map[string]bool{"crest-upper": true, "heron-body": true, "oar-tip": true, "eye": true, "wing-covert": true}
	for _, r := range before.Regions {
		if !relaid[r.ID] && !reflect.DeepEqual(of(before, r.ID), of(after, r.ID)) {
			t.Errorf("the edits change %s", r.ID)
		}
	}
	was, is := of(before, "wing-covert"), of(after, "wing-covert")
	for i, s := range was {
		if i >= len(is) || is[i] != s {
			was = append(was[:i:i], was[i+1:]...)
			break
		}
	}
	if !reflect.DeepEqual(was, is) {
		t.Error("taking a stone off the wing moves others")
	}
	moved := 0
	was = of(before, "oar-tip")
	for _, s := range of(after, "oar-tip") {
		same := slices.ContainsFunc(was, func(o design.Stone) bool { return math.Hypot(o.X-s.X, o.Y-s.Y) < 0.5 })
		if !same {
			moved++
		}
	}
	if moved > len(was)/2 {
		t.Errorf("a stone held beside its place, which a row has to give way to, moves %d of %d others by half a millimetre and more", moved, len(was))
	}
}

// The whole run: what edits bring in reaches the plates and the counts, and breaks
// no rule. Without edits nothing of them shows.
func TestRunWithEdits(t *testing.T) {
	res, err := Run(context.Background(), heron(t, heronEdits, "plates: fewest", "effort: live"), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		t.Error(f)
	}
	pieces := map[string]int{}
	for _, l := range res.Counts {
		pieces[l.Size+" "+l.Colour] = l.Pieces
	}
	if pieces["SS10 siam"] != 1 || pieces["SS10 jet"] != 1 {
		t.Errorf("the counts are %v", pieces)
	}
	var b bytes.Buffer
	doc, _ := laid(t, heron(t, "", "plates: fewest", "effort: live"))
	if err := design.Write(&b, doc); err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{`"left"`, `"hand"`, `"sizes"`} {
		if strings.Contains(b.String(), word) {
			t.Errorf("a layout without edits has %s", word)
		}
	}
}

// A place in a document comes back to the same stone.
func TestSpotOf(t *testing.T) {
	doc := design.Document{Width: 228.6, Height: 120}
	if got := SpotOf(100, 30.123456, doc); got != (Spot{0.437445, 0.251029}) {
		t.Errorf("the spot is %v", got)
	}
	if got := SpotOf(-1, 5, design.Document{Width: 10}); got != (Spot{0, 0}) {
		t.Errorf("the spot beside a line is %v", got)
	}
}

// Wherever in the blade of the oar a stone is held, it stands there, and the rows around
// it break no rule.
func TestPinsAnywhereInTheOar(t *testing.T) {
	for _, at := range []Spot{{0.7626, 0.2182}, {0.7630, 0.2237}, {0.754, 0.2129}, {0.7399, 0.2027}, {0.735, 0.2}, {0.777, 0.238}} {
		edit := fmt.Sprintf("hand:\n  - pin: {region: oar-tip, at: [%g, %g]}\n", at[0], at[1])
		doc, _ := laid(t, heron(t, edit, "plates: fewest", "effort: live"))
		if held := within(doc, of(doc, "oar-tip"), at, 0.5); len(held) != 1 || held[0].Role != design.RoleHand {
			t.Errorf("at %v stand %v", at, held)
		}
	}
}
