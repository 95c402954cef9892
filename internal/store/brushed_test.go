package store

import (
	"slices"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// platedDesign is a design whose templates are known: those of cutBadge.
func platedDesign(t *testing.T, b *Book) shop.Design {
	t.Helper()
	n := cutBadge(1)
	n.Place = shop.NotPutAway
	d := badge(1)
	d.Digest, d.Template, d.Stones = n.Digest, &n, n.Kinds
	d, err := b.AddDesign(t.Context(), morning(), d)
	if err != nil {
		t.Fatal(err)
	}
	mustReceive(t, b, receipt(t, 100_000), shop.Receipt{Kind: shop.Kind{Size: "SS6", Colour: "jet"}, Labelled: 100_000, Pieces: 100_000})
	return d
}

// made asks for lines of a design, promises and makes them, and gives the codes of
// the templates of the makings.
func made(t *testing.T, b *Book, lines ...shop.Line) []string {
	t.Helper()
	j := mustAsk(t, b, shop.Job{Lines: lines})
	mustPromise(t, b, j.ID)
	mustMake(t, b, shop.Making{Job: j.ID})
	return brushedWith(t, b, j.ID)
}

func brushedWith(t *testing.T, b *Book, job int64) []string {
	t.Helper()
	steps, err := b.Steps(t.Context(), job)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, s := range steps {
		if s.What == string(shop.Made) {
			out = append(out, s.Template)
		}
	}
	return out
}

// A set of templates is entered once, by the first making; later ones are noted with
// it; a line that wants its own has another; one that is gone is not brushed with.
func TestMakingEntersTemplates(t *testing.T) {
	b := newBook(t)
	d := platedDesign(t, b)
	line := shop.Line{Design: d.ID, Quantity: 3, Destination: shop.ToBag}
	first := made(t, b, line, line)
	if len(first) != 2 || first[0] == "" || first[1] != first[0] {
		t.Fatalf("%q", first)
	}
	s, err := b.Template(t.Context(), first[0])
	if err != nil || s.Uses != 6 || s.Place != shop.NotPutAway || s.Digest != d.Digest || s.Mark != "HERON" || s.Stones != 276 {
		t.Errorf("%+v, %v", s, err)
	}
	if picture, err := b.TemplatePicture(t.Context(), s.ID); err != nil || string(picture) != "\x89PNG" {
		t.Errorf("%q, %v", picture, err)
	}
	if files, err := b.TemplateFiles(t.Context(), s.ID); err != nil || len(files) != 1 || files[0].Name != layoutFile || !slices.Equal(files[0].Data, cutBadge(1).Files[0].Data) {
		t.Errorf("%+v, %v", files, err)
	}
	own := line
	own.Template = shop.Anew
	if again := made(t, b, own, line); again[0] == first[0] || again[0] == "" {
		t.Errorf("a line that wants its own has %q, the first was %q", again, first)
	}
	all, err := b.FindTemplates(t.Context(), shop.Search{})
	if err != nil || len(all) != 2 {
		t.Fatalf("%+v, %v", all, err)
	}
	for _, s := range all {
		mustNote(t, b, s.Code, shop.TemplateEvent{What: shop.TemplateGone})
	}
	if last := made(t, b, line); last[0] == "" || last[0] == all[0].Code || last[0] == all[1].Code {
		t.Errorf("%q was brushed with, and all were gone", last)
	}
	mustBeSound(t, b)
}

// A set that was entered by hand is the one that is brushed with, also by a line that
// wants its own where it was cut for it; of a design without plates nothing is noted.
func TestMakingUsesWhatWasEnteredByHand(t *testing.T) {
	b := newBook(t)
	d := platedDesign(t, b)
	j := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 4, Destination: shop.ToBag, Template: shop.Anew}}})
	byHand := mustEnter(t, b, cutBadge(1))
	mustPromise(t, b, j.ID)
	mustMake(t, b, shop.Making{Job: j.ID, Line: 1, Transfers: 1})
	mustMake(t, b, shop.Making{Job: j.ID})
	if got := brushedWith(t, b, j.ID); !slices.Equal(got, []string{byHand.Code, byHand.Code}) {
		t.Errorf("%q, entered was %s", got, byHand.Code)
	}
	plain := mustDesign(t, b, 2)
	mustReceive(t, b, shop.Receipt{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Labelled: 1000, Pieces: 1000})
	if got := made(t, b, shop.Line{Design: plain.ID, Quantity: 1, Destination: shop.ToBow}); got[0] != "" {
		t.Errorf("%q of a design without plates", got)
	}
	mustBeSound(t, b)
}

// A making that fails leaves no template behind, and what is from the shelf is not brushed.
func TestAMakingThatFailsEntersNothing(t *testing.T) {
	b := newBook(t)
	d := platedDesign(t, b)
	mustChange(t, b, shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 76 * 3})
	j := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 2, Destination: shop.ToBag}, {Design: d.ID, Quantity: 2, Destination: shop.ToBow}}})
	mustPromise(t, b, j.ID)
	_, err := b.Make(t.Context(), morning(), shop.Making{Job: j.ID})
	if fault.CodeOf(err) != "stock-short" || !containsAll(err.Error(), "SS10 crystal: 304 wanted, 228 at shelf", "--line 2 --transfers 1") {
		t.Error(err)
	}
	if all, err := b.FindTemplates(t.Context(), shop.Search{Gone: true}); err != nil || len(all) != 0 {
		t.Errorf("%+v, %v", all, err)
	}
	mustMake(t, b, shop.Making{Job: j.ID, Found: true})
	if onHand, err := b.onHand(t.Context()); err != nil || onHand[crystal()] != 0 {
		t.Errorf("%v, %v", onHand, err)
	}
	shelf := shop.TransferOf(d.ID)
	mustReceive(t, b, shop.Receipt{Kind: shelf, Labelled: 5, Pieces: 5})
	if got := made(t, b, shop.Line{Design: d.ID, Quantity: 5, Destination: shop.ToBag}); got[0] != "" {
		t.Errorf("%q brushed what came from the shelf", got)
	}
	mustBeSound(t, b)
}

// The laws of making find what the guards would not have let in.
func TestTheCheckOfMakingBites(t *testing.T) {
	for name, harm := range map[string]string{
		"in a template's history":      `DROP TRIGGER job_steps_keep_update; UPDATE job_steps SET transfers = 9 WHERE what = 'made'`,
		"handed over when it is made":  `DROP TRIGGER handed_lines_keep_insert; INSERT INTO handed_lines VALUES (1, 2, '', 1, '')`,
		"the guards of making":         `DROP TRIGGER step_templates_keep_delete`,
		"handed over when its lines":   `UPDATE job_lines SET destination = 'shelf' WHERE line = 2; UPDATE job_lines SET made = 2 WHERE line = 2; UPDATE jobs SET state = 'made'`,
		"design_plates_keep_update is": `DROP TRIGGER design_plates_keep_update`,
	} {
		b := newBook(t)
		d := platedDesign(t, b)
		j := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 2, Destination: shop.ToBag}, {Design: d.ID, Quantity: 2, Destination: shop.ToBow}}})
		mustPromise(t, b, j.ID)
		mustMake(t, b, shop.Making{Job: j.ID, Line: 1})
		if _, err := b.HandOverLine(t.Context(), morning(), j.ID, 1, ""); err != nil {
			t.Fatal(err)
		}
		mustTellOfHarm(t, b, name, harm)
	}
}

// What was said when a line was handed over goes with its customer, and all else stays.
func TestWordsOfHandingOverAreErased(t *testing.T) {
	b := newBook(t)
	d := platedDesign(t, b)
	who := mustAdd(t, b, shop.Customer{Name: "Saltmarsh Herons"})
	j := mustAsk(t, b, shop.Job{Customer: who[0].ID, Lines: []shop.Line{{Design: d.ID, Quantity: 1, Destination: shop.ToBag}, {Design: d.ID, Quantity: 2, Destination: shop.ToBow}}})
	mustPromise(t, b, j.ID)
	mustMake(t, b, shop.Making{Job: j.ID, Line: 1})
	if j, err := b.HandOverLine(t.Context(), morning(), j.ID, 1, "to her brother"); err != nil || !j.PartlyHanded() || j.State != shop.Promised {
		t.Fatalf("%+v, %v", j, err)
	}
	handed := func() shop.Step {
		steps, err := b.Steps(t.Context(), j.ID)
		if err != nil || len(steps) != 4 || steps[3].What != string(shop.HandedOver) || steps[3].Line != 1 || steps[3].State != shop.Promised {
			t.Fatalf("%+v, %v", steps, err)
		}
		return steps[3]
	}
	if s := handed(); s.Note != "to her brother" {
		t.Errorf("%+v", s)
	}
	if err := b.EraseCustomer(t.Context(), morning(), who[0].ID); err != nil {
		t.Fatal(err)
	}
	if s := handed(); s.Note != "" {
		t.Errorf("%+v", s)
	}
	mustBeSound(t, b)
}
