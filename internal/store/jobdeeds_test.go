package store

import (
	"slices"
	"sync"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

func mustPromise(t testing.TB, b *Book, id int64) shop.Job {
	t.Helper()
	j, err := b.Promise(t.Context(), morning(), id, "")
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func mustMake(t testing.TB, b *Book, m shop.Making) shop.Job {
	t.Helper()
	j, err := b.Make(t.Context(), morning(), m)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// reserves gives what all jobs take, by kind.
func reserves(t testing.TB, b *Book) map[shop.Kind]int {
	t.Helper()
	short, err := b.Shortages(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	out := map[shop.Kind]int{}
	for _, s := range short {
		out[s.Kind] = s.Reserved
	}
	return out
}

// The example of docs/formats/jobs.md, worked by hand there.
func TestTheWorkedJob(t *testing.T) {
	b := newBook(t)
	d := mustDesign(t, b, 1)
	first, second := receipt(t, 1440), receipt(t, 1440)
	second.Cost = amount(t, "7.20")
	sun := shop.Receipt{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Labelled: 1440, Pieces: 1440, Cost: amount(t, "0")}
	mustReceive(t, b, first, second, sun)
	j := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 12, Destination: shop.ToGarment}, {Design: d.ID, Quantity: 4, Destination: shop.ToShelf}}})
	mustPromise(t, b, j.ID)
	taken := reserves(t, b)
	for k, want := range map[shop.Kind]int{
		crystal(): 1632, {Size: "SS16", Colour: "sun"}: 208, {Size: "tape", Colour: "sheet 12 x 12 in"}: 3, {Size: "flock", Colour: "sheet 12 x 20 in"}: 1,
	} {
		if taken[k] != want {
			t.Errorf("%d of %s are reserved, want %d", taken[k], k, want)
		}
	}
	mustMake(t, b, shop.Making{Job: j.ID, Line: 2})
	mustMake(t, b, shop.Making{Job: j.ID})
	steps, err := b.Steps(t.Context(), j.ID)
	if err != nil || len(steps) != 4 || steps[2].Cost.String() != "1.8056" || steps[3].Cost.String() != "5.4944" || steps[3].State != shop.Made {
		t.Errorf("%+v, %v", steps, err)
	}
	stock, err := b.Stock(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	shelf := stock[len(stock)-1]
	if id, ok := shelf.Kind.Design(); !ok || id != d.ID || shelf.Pieces() != 4 || shelf.Lots[0].Cost.String() != "1.8056" {
		t.Errorf("%+v", shelf)
	}
	if left := reserves(t, b); len(left) != 0 {
		t.Errorf("%v are still reserved", left)
	}
	mustBeSound(t, b)
}

// Transfers that were promised from the shelf and are gone are made again: their
// stones are short then.
func TestTransfersThatAreGone(t *testing.T) {
	b := newBook(t)
	d := mustDesign(t, b, 1)
	shelf := shop.TransferOf(d.ID)
	mustReceive(t, b, shop.Receipt{Kind: shelf, Labelled: 5, Pieces: 5, Cost: amount(t, "4")}, receipt(t, 120))
	j := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 4, Destination: shop.ToBag}}})
	if j = mustPromise(t, b, j.ID); j.Lines[0].Shelf != 4 {
		t.Errorf("%+v", j)
	}
	mustChange(t, b, shop.Change{What: shop.Spoiled, Kind: shelf, Pieces: 3})
	short, err := b.Shortages(t.Context())
	if err != nil || len(short) != 4 || short[0].Kind != crystal() || short[0].Gone != 2*102 || short[0].Free() != 120-204 || !slices.Equal(short[0].Jobs, []int64{j.ID}) {
		t.Errorf("%+v, %v", short, err)
	}
	if wants := shop.Wants(short); len(wants) != 3 {
		t.Errorf("bought for %+v", wants)
	}
	if _, err := b.Make(t.Context(), morning(), shop.Making{Job: j.ID}); fault.CodeOf(err) != "stock-short" {
		t.Error(err)
	}
	if j = mustPromise(t, b, j.ID); j.Lines[0].Shelf != 2 || j.Lines[0].ToMake() != 2 {
		t.Errorf("%+v", j)
	}
	mustBeSound(t, b)
}

// A template that is kept is not cut again, once it is gone it is.
func TestAKeptTemplateServesJobs(t *testing.T) {
	b := newBook(t)
	d := badge(1)
	d.Digest = cutBadge(1).Digest
	d, err := b.AddDesign(t.Context(), morning(), d)
	if err != nil {
		t.Fatal(err)
	}
	s, err := b.AddTemplate(t.Context(), morning(), cutBadge(1))
	if err != nil {
		t.Fatal(err)
	}
	ask := func() shop.Template {
		return mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 2, Destination: shop.ToBow}}}).Lines[0].Template
	}
	if got := ask(); got != shop.There {
		t.Errorf("kept, and the line says %q", got)
	}
	if _, err := b.NoteTemplate(t.Context(), morning(), s.Code, shop.TemplateEvent{What: shop.TemplateGone}); err != nil {
		t.Fatal(err)
	}
	if got := ask(); got != shop.AsNeeded {
		t.Errorf("gone, and the line says %q", got)
	}
}

// Two programs promise and make jobs of one design at once: the shelf is given out
// once, one template is cut, and the book is sound.
func TestTwoProgramsWithJobs(t *testing.T) {
	const each = 6
	one := newBook(t)
	two, err := Open(t.Context(), one.path)
	if err != nil {
		t.Fatal(err)
	}
	defer two.Close()
	d := mustDesign(t, one, 1)
	flock := shop.Kind{Size: "flock", Colour: "sheet 12 x 20 in"}
	mustReceive(t, one, shop.Receipt{Kind: shop.TransferOf(d.ID), Labelled: 10, Pieces: 10}, receipt(t, 10_000), shop.Receipt{Kind: flock, Labelled: 9, Pieces: 9},
		shop.Receipt{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Labelled: 1000, Pieces: 1000})
	var wg sync.WaitGroup
	for _, b := range []*Book{one, two} {
		wg.Go(func() {
			for range each {
				j, err := b.Ask(t.Context(), morning(), shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 2, Destination: shop.ToBow}}})
				if err == nil {
					_, err = b.Promise(t.Context(), morning(), j.ID, "")
				}
				if err == nil && j.ID%2 == 0 {
					_, err = b.Make(t.Context(), morning(), shop.Making{Job: j.ID})
				}
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	all, err := one.Jobs(t.Context(), shop.Which{States: []shop.State{shop.Promised}})
	if err != nil || len(all) != each {
		t.Fatalf("%d jobs, %v", len(all), err)
	}
	for _, j := range all {
		mustMake(t, two, shop.Making{Job: j.ID})
	}
	onHand, err := two.onHand(t.Context())
	if err != nil || onHand[shop.TransferOf(d.ID)] != 0 || onHand[flock] != 8 || onHand[crystal()] != 10_000-100*(2*2*each-10) {
		t.Errorf("%v, %v", onHand, err)
	}
	mustBeSound(t, one)
}

// The laws of jobs find what the guards would not have let in.
func TestTheCheckOfJobsBites(t *testing.T) {
	for name, harm := range map[string]string{
		"where its last step left it":    `DROP TRIGGER jobs_moves; UPDATE jobs SET state = 'dropped' WHERE id = 2`,
		"follow each other":              `INSERT INTO job_steps (job, at, what, state, line, transfers, drawn, note) VALUES (2, '2026-03-14T08:30:00.000Z', 'asked', 'promised', 0, 0, 0, '')`,
		"made what its steps say":        `UPDATE job_lines SET made = 1 WHERE job = 2`,
		"of a line that there is":        `INSERT INTO job_steps (job, at, what, state, line, transfers, drawn, note) VALUES (2, '2026-03-14T08:30:00.000Z', 'wasted', 'promised', 7, 0, 0, '')`,
		"made when they are":             `UPDATE job_lines SET quantity = 9 WHERE job = 1`,
		"what was made is in the ledger": `DROP TRIGGER job_steps_keep_update; DROP TRIGGER step_deeds_keep_delete; DELETE FROM step_deeds WHERE deed IN (SELECT id FROM deeds WHERE size = 'SS10')`,
		"went there is in the ledger":    `DROP TRIGGER step_deeds_keep_delete; DELETE FROM step_deeds WHERE deed IN (SELECT id FROM deeds WHERE size = 'transfer')`,
		"did to the stock fits it":       `INSERT INTO step_deeds (deed, step) VALUES (1, 1)`,
		"no number is missing":           `DROP TRIGGER customers_keep_insert; INSERT INTO customers VALUES (9, '', NULL, 'Coots', '', '', '', '')`,
		"the guards of jobs":             `DROP TRIGGER step_deeds_keep_update`,
		"reserve what they take":         `UPDATE reservations SET pieces = pieces + 1`,
		"takes 204":                      `DELETE FROM reservations WHERE size = 'SS10'`,
		"takes 0":                        `INSERT INTO reservations VALUES (2, 1, 'SS6', 'jet', 5)`,
	} {
		b := newBook(t)
		d := mustDesign(t, b, 1)
		mustReceive(t, b, receipt(t, 1440), shop.Receipt{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Labelled: 100, Pieces: 100})
		done := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 1, Destination: shop.ToShelf}}})
		open := mustAsk(t, b, shop.Job{Lines: []shop.Line{{Design: d.ID, Quantity: 3, Destination: shop.ToBag}}})
		mustPromise(t, b, done.ID)
		mustMake(t, b, shop.Making{Job: done.ID})
		mustPromise(t, b, open.ID)
		mustTellOfHarm(t, b, name, harm)
	}
}

// Histories cannot be changed or taken away by any statement, jobs only move as they
// may, and of a step nothing goes but its note.
func TestHistoriesAreOnlyAddedTo(t *testing.T) {
	b := newBook(t)
	mustAdd(t, b, shop.Customer{Name: "Saltmarsh Herons"})
	d := mustDesign(t, b, 1)
	j := mustAsk(t, b, shop.Job{Customer: 1, Lines: []shop.Line{{Design: d.ID, Quantity: 1, Destination: shop.ToShelf}}})
	mustReceive(t, b, receipt(t, 1440), shop.Receipt{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Labelled: 100, Pieces: 100})
	if _, err := b.Promise(t.Context(), morning(), j.ID, "by phone"); err != nil {
		t.Fatal(err)
	}
	mustMake(t, b, shop.Making{Job: j.ID})
	for _, s := range []string{
		`UPDATE job_steps SET note = 'x'`, `UPDATE job_steps SET transfers = 2 WHERE what = 'made'`, `UPDATE job_steps SET cost = '1' WHERE what = 'made'`, `DELETE FROM job_steps`, `REPLACE INTO job_steps SELECT * FROM job_steps`,
		`UPDATE step_deeds SET step = 1`, `DELETE FROM step_deeds`, `REPLACE INTO step_deeds SELECT * FROM step_deeds`,
		`DELETE FROM jobs`, `REPLACE INTO jobs SELECT * FROM jobs`, `UPDATE jobs SET state = 'asked'`, `UPDATE jobs SET id = 9`, `INSERT INTO jobs VALUES (9, NULL, 'made', '', '')`,
		`DELETE FROM customers`, `REPLACE INTO customers SELECT * FROM customers`, `UPDATE customers SET id = 9`, `UPDATE customers SET name = ''`,
		`DELETE FROM designs`, `REPLACE INTO designs SELECT * FROM designs`, `UPDATE designs SET flock = 9`, `UPDATE design_stones SET take = 200`, `DELETE FROM design_stones`,
	} {
		if _, err := b.db.Exec(s); err == nil {
			t.Errorf("%s was done", s)
		}
	}
	for _, s := range []string{`UPDATE job_steps SET note = '' WHERE note <> ''`, `UPDATE designs SET name = 'Badge of the Herons'`} {
		if _, err := b.db.Exec(s); err != nil {
			t.Errorf("%s: %v", s, err)
		}
	}
	mustBeSound(t, b)
}
