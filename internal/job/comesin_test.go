package job

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/roster"
	"brushfall/internal/ticket"
)

// harbour is a shop with a colour of its own that comes in SS6 and SS10, and one in the
// place of a built-in one.
func harbour() catalogue.Stones {
	return catalogue.Stones{}.WithColours(
		catalogue.Colour{Name: "harbour blue", Hex: "#27567f", Finish: catalogue.AB, Sizes: []string{"SS6", "SS10"}},
		catalogue.Colour{Name: "siam", Hex: "#99121f", Finish: catalogue.Clear},
	)
}

// Wherever a job file names a colour it may be one of the shop's own; without the shop's
// stones each place is refused as a colour that there is not.
func TestOwnColoursInAJobFile(t *testing.T) {
	for _, line := range []string{
		"stone: {size: SS10, colour: Harbour Blue}",
		"colours: {along: [harbour blue x 2, jet]}",
		"colours: {random: {jet: 70, harbour blue: 30}}",
		"colours: {gradient: [jet, harbour blue]}",
		"colours: {rim: harbour blue}",
		"treatment: [rim]\naccents: {stone: {size: SS6, colour: harbour blue}, every: 5}",
		"treatment: [rim, bed]\nfill: {size: SS6, colour: harbour blue}",
		"hand: [{recolour: {region: a, at: [0.5, 0.5], colour: harbour blue}}]",
		"hand: [{add: {region: a, at: [0.5, 0.5], stone: {size: SS6, colour: harbour blue}}}]",
		"regions: [{match: {id: a}, stone: {colour: harbour blue}}]",
	} {
		text := []byte("artwork: a.svg\nwidth: 60 mm\n" + line + "\n")
		j, err := ParseWith(harbour(), "j.yaml", text)
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
		if c, err := j.Stones.FindColour("harbour blue"); err != nil || c.Hex != "#27567f" {
			t.Errorf("%s: the job does not keep the shop's stones: %+v %v", line, c, err)
		}
		_, err = Parse("j.yaml", text)
		if fault.CodeOf(err) != "colour-unknown" || !strings.HasPrefix(err.Error(), "j.yaml:") || !strings.Contains(err.Error(), "brushfall catalogue colour") {
			t.Errorf("%s: %v", line, err)
		}
	}
}

func harbourBoard(t *testing.T, colour string) Job {
	t.Helper()
	j, err := ParseWith(harbour(), "board.yaml", []byte(strings.ReplaceAll(boardJob, "{size: SS6}", "{size: SS6, colour: "+colour+"}")))
	if err != nil {
		t.Fatal(err)
	}
	j.Artwork = []byte(board)
	return j
}

// The record says how an own colour looks, so that pictures and papers need no book: they
// are the same when it is read back. Built-in colours leave no trace, as ever.
func TestOwnColoursAreInTheRecord(t *testing.T) {
	res, err := Run(t.Context(), harbourBoard(t, "harbour blue"), nil)
	if err != nil || len(res.Findings) > 0 {
		t.Fatal(err, res.Findings)
	}
	var text bytes.Buffer
	if err := design.Write(&text, res.Document); err != nil {
		t.Fatal(err)
	}
	doc, err := design.Read(&text)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range doc.Kinds {
		c, err := k.Look()
		if want := k.Colour == "harbour blue"; err != nil || c.Own != want || want && (c.Hex != "#27567f" || c.Finish != catalogue.AB) {
			t.Errorf("%+v looks like %+v (%v)", k, c, err)
		}
	}
	p, err := CustomerProof(doc, ProofPaper{})
	if err != nil {
		t.Fatal(err)
	}
	if i := slices.IndexFunc(p.Stones, func(r ticket.Row) bool { return r.Colour == "harbour blue" }); i < 0 || p.Stones[i].Swatch != (ticket.Swatch{Hex: "#27567f", AB: true}) {
		t.Errorf("%+v", p.Stones)
	}
	again, err := Run(t.Context(), harbourBoard(t, "harbour blue"), nil)
	if err != nil || !slices.EqualFunc(res.Files(), again.Files(), func(a, b File) bool { return a.Name == b.Name && bytes.Equal(a.Data, b.Data) }) {
		t.Errorf("the same job has other bytes (%v)", err)
	}
	with, err := Run(t.Context(), harbourBoard(t, "jet"), nil)
	plain := harbourBoard(t, "jet")
	plain.Stones = catalogue.Stones{}
	without, err2 := Run(t.Context(), plain, nil)
	if err != nil || err2 != nil || !slices.EqualFunc(with.Files(), without.Files(), func(a, b File) bool { return a.Name == b.Name && bytes.Equal(a.Data, b.Data) }) {
		t.Errorf("own colours that a design does not have change it (%v, %v)", err, err2)
	}
	changed, err := Run(t.Context(), harbourBoard(t, "siam"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if k := changed.Document.Kinds[slices.IndexFunc(changed.Document.Kinds, func(k design.Kind) bool { return k.Colour == "siam" })]; k.Shown != "#99121f" {
		t.Errorf("%+v, which the shop shows otherwise", k)
	}
}

// A colour that does not come in the size of a region can be looked at, with what to do;
// it is not made, neither alone nor in a gang or a list.
func TestAColourThatDoesNotComeInItsSize(t *testing.T) {
	j := harbourBoard(t, "harbour blue")
	j.Regions[0].Stone.Size, _ = j.Stones.FindSize("SS16")
	d, err := Lay(t.Context(), j, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(d.Notes, func(n layout.Note) bool { return n.Code == "colour-size" })
	if i < 0 || d.Notes[i].Region == "" || !strings.Contains(d.Notes[i].Message, "harbour blue does not come in SS16") || !strings.Contains(d.Notes[i].Message, "SS6 or SS10") {
		t.Errorf("%+v", d.Notes)
	}
	refused := func(what string, err error) {
		t.Helper()
		if fault.CodeOf(err) != "colour-size" || !strings.Contains(err.Error(), "SS6 or SS10") {
			t.Errorf("%s: %v", what, err)
		}
	}
	_, err = Run(t.Context(), j, nil)
	refused("alone", err)
	_, err = RunGang(t.Context(), []GangJob{{j, 1}}, GangOptions{}, nil)
	refused("a gang", err)
}

// The cells of a list may name the shop's colours; of a row whose colour does not come in
// its size that is told, and the others can be made.
func TestOwnColoursInAList(t *testing.T) {
	text := "design: \"Badge {colour} {size}\"\nartwork: a.svg\nwidth: 60 mm\neffort: live\nstone: {size: \"{size}\", colour: \"{colour}\"}\n"
	tpl, err := ParseTemplateWith(harbour(), "crew.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	list := listOf(t, "colour,size\nharbour blue,SS10\nHarbour Blue,SS16\nmud,SS10\n")
	r, err := Compose(tpl, list, nil, "seed", func(j Job) (Job, error) {
		j.Artwork = small("", 60).Artwork
		return j, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Designs) != 2 || len(r.Faults) != 1 || r.Faults[0].Code != "colour-unknown" || r.Faults[0].Column != "colour" || !strings.Contains(r.Faults[0].Message, "harbour blue") {
		t.Fatalf("%d designs, %+v", len(r.Designs), r.Faults)
	}
	out := newShelf(1000)
	res := ran(t, r, RosterOptions{SkipFaulty: true, Store: out})
	if !slices.ContainsFunc(res.Faults, func(f roster.Fault) bool { return f.Code == "colour-size" && f.Row == 3 }) {
		t.Errorf("%+v", res.Faults)
	}
	if len(res.GangResult.Designs) != 1 || res.GangResult.Designs[0].Document.Kinds[0].Shown != "#27567f" {
		t.Errorf("%+v", res.GangResult.Designs)
	}
}
