package store

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// machine does the same deeds in a book and in a model.
type machine struct {
	ctx      context.Context
	b        *Book
	m        *model
	costs    map[int64][]*decimal.Decimal // of the making steps of each job
	customer int64
	deeds    int
}

func kinds() []shop.Kind {
	return []shop.Kind{
		crystal(),
		{Size: "SS16", Colour: "sun"},
		{Size: "SS6", Colour: "jet"},
		{Size: "flock", Colour: "sheet 12 x 20 in"},
		{Size: "flock", Colour: "white"},
		{Size: "tape", Colour: "sheet 12 x 12 in"},
		{Size: "film", Colour: "sheet 12 x 12 in"},
		{Size: "blank", Colour: "disc 3 in"},
	}
}

// modelDesigns differ in stones, sheets and how tape is cut.
func modelDesigns() []shop.Design {
	one, two := badge(1), badge(2)
	one.Stones = []shop.Stones{{Kind: shop.Kind{Size: "SS16", Colour: "sun"}, Pieces: 2, Take: 3}, {Kind: crystal(), Pieces: 9, Take: 10}}
	two.Stones = []shop.Stones{{Kind: shop.Kind{Size: "SS6", Colour: "jet"}, Pieces: 7, Take: 8}, {Kind: crystal(), Pieces: 3, Take: 4}}
	one.Tape = shop.Cover{PerSheet: 2}
	two.Flock, two.Tape, two.Film = 2, shop.Cover{Sheets: 2}, shop.Cover{PerSheet: 2}
	return []shop.Design{one, two}
}

// agree compares an answer with what the model says; done says that it was done.
func agree(t *rapid.T, what string, err error, code string) (done bool) {
	t.Helper()
	if fault.CodeOf(err) != code || (err != nil && code == "") {
		t.Fatalf("%s: %v, the model says %q", what, err, code)
	}
	return err == nil
}

func (x *machine) Receive(t *rapid.T) {
	k := rapid.SampledFrom(kinds()).Draw(t, "kind")
	n := rapid.IntRange(1, 90).Draw(t, "pieces")
	x.receive(t, k, n)
}

func (x *machine) receive(t *rapid.T, k shop.Kind, n int) {
	r := shop.Receipt{Kind: k, Labelled: n, Pieces: n}
	var cost *decimal.Decimal
	if rapid.IntRange(0, 4).Draw(t, "known") > 0 {
		c := decimal.New(rapid.Int64Range(0, 99_999).Draw(t, "cost"), -2)
		cost, r.Cost = &c, &c
	}
	_, err := x.b.Receive(x.ctx, morning(), []shop.Receipt{r})
	if agree(t, "receive", err, "") {
		x.m.receive(k, n, cost)
	}
}

func (x *machine) Change(t *rapid.T) {
	k := rapid.SampledFrom(append(kinds(), x.m.transfers(0), x.m.transfers(1))).Draw(t, "kind")
	c := shop.Change{What: rapid.SampledFrom([]shop.What{shop.Used, shop.Spoiled, shop.Counted}).Draw(t, "what"), Kind: k, Pieces: rapid.IntRange(1, 60).Draw(t, "pieces")}
	code := ""
	if c.What != shop.Counted && x.m.onHand(k) < c.Pieces {
		code = "stock-short"
	}
	_, err := x.b.Change(x.ctx, morning(), c)
	switch {
	case !agree(t, string(c.What), err, code):
	case c.What != shop.Counted:
		x.m.take(k, c.Pieces)
	case x.m.lots[k] == nil:
		x.m.receive(k, c.Pieces, nil)
	default:
		x.m.count(k, c.Pieces)
	}
}

func (x *machine) line(t *rapid.T) (shop.Line, *modelLine) {
	l := shop.Line{
		Design:      int64(rapid.IntRange(1, 2).Draw(t, "design")),
		Quantity:    rapid.IntRange(1, 5).Draw(t, "quantity"),
		Destination: rapid.SampledFrom([]shop.Destination{shop.ToDisc, shop.ToShelf, shop.ToDecal}).Draw(t, "destination"),
		Template:    rapid.SampledFrom([]shop.Template{shop.AsNeeded, shop.AsNeeded, shop.Anew, shop.There}).Draw(t, "template"),
	}
	if l.Destination == shop.ToDisc && rapid.Bool().Draw(t, "blank") {
		l.Blank = "disc 3 in"
	}
	return l, &modelLine{design: int(l.Design) - 1, want: l.Quantity, to: l.Destination, blank: l.Blank, template: l.Template}
}

func (x *machine) Ask(t *rapid.T) {
	var j shop.Job
	mj := &modelJob{state: "asked", steps: 1}
	if rapid.Bool().Draw(t, "customer") {
		j.Customer = x.customer
	}
	for range rapid.IntRange(1, 3).Draw(t, "lines") {
		l, ml := x.line(t)
		j.Lines, mj.lines = append(j.Lines, l), append(mj.lines, ml)
	}
	_, err := x.b.Ask(x.ctx, morning(), j)
	if agree(t, "ask", err, "") {
		x.m.jobs = append(x.m.jobs, mj)
	}
}

// one picks a job: three times of four one in the states named, where there is one.
func (x *machine) one(t *rapid.T, states ...string) (int64, *modelJob) {
	if len(x.m.jobs) == 0 {
		t.Skip("no jobs yet")
	}
	var fit []int
	for i, j := range x.m.jobs {
		if slices.Contains(states, j.state) {
			fit = append(fit, i)
		}
	}
	i := rapid.IntRange(0, len(x.m.jobs)-1).Draw(t, "job")
	if len(fit) > 0 && rapid.IntRange(0, 3).Draw(t, "fit") > 0 {
		i = rapid.SampledFrom(fit).Draw(t, "fitting job")
	}
	return int64(i + 1), x.m.jobs[i]
}

func (x *machine) Promise(t *rapid.T) {
	id, j := x.one(t, "asked", "asked", "promised")
	code := "job-move"
	if j.state == "asked" || j.state == "promised" {
		code = ""
	}
	_, err := x.b.Promise(x.ctx, morning(), id, "")
	if agree(t, "promise", err, code) {
		x.m.promise(j)
	}
}

func (x *machine) Make(t *rapid.T) {
	id, j := x.one(t, "promised")
	mk := shop.Making{Job: id, Found: rapid.IntRange(0, 2).Draw(t, "found") == 0}
	picked := j.lines
	if rapid.Bool().Draw(t, "one line") {
		i := rapid.IntRange(0, len(j.lines)-1).Draw(t, "line")
		mk.Line, picked = i+1, j.lines[i:i+1]
		mk.Transfers = rapid.IntRange(0, 2).Draw(t, "transfers")
	}
	code := ""
	if j.state != "promised" {
		code = "job-move"
	} else if mk.Line > 0 && (picked[0].open() == 0 || mk.Transfers > picked[0].open()) {
		code = "job-line"
	}
	kept, lines := x.m.save(), []modelLine{}
	for _, l := range j.lines {
		lines = append(lines, *l)
	}
	var costs []*decimal.Decimal
	for _, l := range picked {
		if code != "" || l.open() == 0 {
			continue
		}
		cost, ok := x.m.make(l, mk.Transfers, mk.Found)
		if !ok {
			code = "stock-short"
		}
		costs = append(costs, cost)
	}
	_, err := x.b.Make(x.ctx, morning(), mk)
	if !agree(t, "make", err, code) {
		x.m.lots = kept
		for i, l := range j.lines {
			*l = lines[i]
		}
		return
	}
	x.costs[id] = append(x.costs[id], costs...)
	j.steps += len(costs)
	x.finish(j)
}

// finish is what the last transfer does.
func (x *machine) finish(j *modelJob) {
	for _, l := range j.lines {
		if l.open() > 0 {
			return
		}
	}
	j.state = "made"
	x.endIfNobodyWaits(j)
}

func (x *machine) endIfNobodyWaits(j *modelJob) {
	waits := false
	for _, l := range j.lines {
		waits = waits || l.to != shop.ToShelf && !l.handed
	}
	if j.state == "made" && !waits {
		j.state = "handed over"
		j.steps++
	}
}

func (x *machine) Waste(t *rapid.T) {
	id, j := x.one(t, "promised", "made")
	i := rapid.IntRange(0, len(j.lines)-1).Draw(t, "line")
	w := shop.Wasting{Job: id, Line: i + 1, Transfers: rapid.IntRange(1, 2).Draw(t, "transfers")}
	d := x.m.designs[j.lines[i].design]
	wants := map[shop.Kind]int{{Size: "tape", Colour: "sheet 12 x 12 in"}: sheets(d.Tape, w.Transfers)}
	for _, s := range d.Stones {
		wants[s.Kind] = s.Pieces * w.Transfers
	}
	kept, code := x.m.save(), ""
	if j.state != "promised" && j.state != "made" {
		code = "job-move"
	} else if _, _, ok := x.m.takeAll(wants); !ok {
		code = "stock-short"
	}
	_, err := x.b.Waste(x.ctx, morning(), w)
	if !agree(t, "waste", err, code) {
		x.m.lots = kept
		return
	}
	j.steps++
}

func (x *machine) End(t *rapid.T) {
	id, j := x.one(t, "made", "promised")
	if rapid.Bool().Draw(t, "one line") {
		x.handOverLine(t, id, j)
		return
	}
	if rapid.Bool().Draw(t, "hand over") {
		code := "job-move"
		if j.state == "made" {
			code = ""
		}
		_, err := x.b.HandOver(x.ctx, morning(), id, "")
		if agree(t, "hand over", err, code) {
			j.state = "handed over"
			j.steps++
		}
		return
	}
	code := "job-move"
	if j.state == "asked" || j.state == "promised" || j.state == "made" {
		code = ""
	}
	_, err := x.b.Drop(x.ctx, morning(), id, "")
	if agree(t, "drop", err, code) {
		j.state = "dropped"
		j.steps++
	}
}

func (x *machine) handOverLine(t *rapid.T, id int64, j *modelJob) {
	i := rapid.IntRange(0, len(j.lines)-1).Draw(t, "line")
	l := j.lines[i]
	code := ""
	switch {
	case j.state != "promised" && j.state != "made":
		code = "job-move"
	case l.to == shop.ToShelf || l.handed || l.open() > 0:
		code = "job-line"
	}
	_, err := x.b.HandOverLine(x.ctx, morning(), id, i+1, "")
	if agree(t, "hand a line over", err, code) {
		l.handed = true
		j.steps++
		x.endIfNobodyWaits(j)
	}
}

func (x *machine) Amend(t *rapid.T) {
	id, j := x.one(t, "asked")
	l, ml := x.line(t)
	code := ""
	if j.state != "asked" {
		code = "job-move"
	}
	_, err := x.b.Amend(x.ctx, morning(), shop.Amendment{Job: id, Add: []shop.Line{l}}, "")
	if agree(t, "amend", err, code) {
		j.lines = append(j.lines, ml)
		j.steps++
	}
}

func (x *machine) Flock(t *rapid.T) {
	name := rapid.SampledFrom([]string{"sheet 12 x 20 in", "white"}).Draw(t, "usual")
	if agree(t, "usual goods", x.b.SetGoods(x.ctx, shop.Goods{Class: "flock", Name: name, Usual: true}), "") {
		x.m.flock = name
	}
}

// look compares the stock and what is reserved, and now and then all.
func (x *machine) look(t *rapid.T) {
	if x.deeds++; x.deeds%8 == 0 {
		x.lookAtAll(t)
	}
	onHand, err := x.b.onHand(x.ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range append(kinds(), x.m.transfers(0), x.m.transfers(1)) {
		if onHand[k] != x.m.onHand(k) {
			t.Fatalf("%d of %s are on hand, the model has %d", onHand[k], k, x.m.onHand(k))
		}
	}
	short, err := x.b.Shortages(x.ctx)
	if err != nil {
		t.Fatal(err)
	}
	reserved := x.m.reserved()
	for _, s := range short {
		if s.Reserved != reserved[s.Kind] || s.OnHand != x.m.onHand(s.Kind) {
			t.Fatalf("%+v, the model reserves %d and has %d", s, reserved[s.Kind], x.m.onHand(s.Kind))
		}
		delete(reserved, s.Kind)
	}
	if len(reserved) > 0 {
		t.Fatalf("nothing tells of %v", reserved)
	}
}

// lookAtAll has the book checked, and compares every job with its history.
func (x *machine) lookAtAll(t *rapid.T) {
	r, err := x.b.Check(x.ctx)
	if err != nil || len(r.Problems) > 0 {
		t.Fatalf("%v, %q", err, r.Problems)
	}
	for i, mj := range x.m.jobs {
		j, err := x.b.Job(x.ctx, int64(i+1))
		if err != nil {
			t.Fatal(err)
		}
		steps, err := x.b.Steps(x.ctx, j.ID)
		if err != nil || len(steps) != mj.steps || string(j.State) != mj.state || len(j.Lines) != len(mj.lines) {
			t.Fatalf("%+v has %d steps; the model has %d, and it is %s; %v", j, len(steps), mj.steps, mj.state, err)
		}
		for n, l := range j.Lines {
			ml := mj.lines[n]
			if l.Handed != ml.handed || l.Made != ml.anew+ml.fromBook || l.Drawn != ml.fromBook || (j.State == shop.Promised && l.FromShelf() != ml.share) {
				t.Fatalf("job %d: %+v, the model has %+v", j.ID, l, ml)
			}
		}
		costs := x.costs[j.ID]
		for _, s := range steps {
			if s.What != "made" {
				continue
			}
			want := costs[0]
			costs = costs[1:]
			if (s.Cost == nil) != (want == nil) || (want != nil && !want.Equal(*s.Cost)) {
				t.Fatalf("job %d: a making took %v, the model says %v", j.ID, s.Cost, want)
			}
		}
	}
}

// A book and a model in plain memory are told the same deeds of stock and jobs, chosen
// by chance; after each they hold the same. (Model-based testing as QuickCheck's
// state machines do it: Claessen and Hughes, "Testing Monadic Code with QuickCheck",
// Haskell Workshop 2002.)
func TestJobsAgainstAModel(t *testing.T) {
	dir := t.TempDir()
	begun := filepath.Join(dir, "begun.book")
	b, err := Create(t.Context(), begun)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range modelDesigns() {
		if _, err := b.AddDesign(t.Context(), morning(), d); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.SetGoods(t.Context(), shop.Goods{Class: "flock", Name: "white"}); err != nil {
		t.Fatal(err)
	}
	mustAdd(t, b, shop.Customer{Name: "Saltmarsh Herons"})
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(begun)
	if err != nil {
		t.Fatal(err)
	}
	// Each run takes some 30 deeds; unless more were asked for, so many are enough.
	if f := flag.Lookup("rapid.checks"); f.Value.String() == f.DefValue {
		if err := f.Value.Set("25"); err != nil {
			t.Fatal(err)
		}
		defer func() { _ = f.Value.Set(f.DefValue) }()
	}
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		path := filepath.Join(dir, fmt.Sprintf("%d.book", n))
		if err := os.WriteFile(path, text, 0o600); err != nil {
			rt.Fatal(err)
		}
		// The disk need not have it: this is not about losing power.
		b, err := connect(path, "rw", "foreign_keys(1)", "recursive_triggers(1)", "synchronous(OFF)")
		if err != nil {
			rt.Fatal(err)
		}
		defer func() {
			_ = b.Close()
			_ = os.Remove(path)
		}()
		x := &machine{ctx: t.Context(), b: b, m: &model{lots: map[shop.Kind][]*modelLot{}, designs: modelDesigns(), flock: "sheet 12 x 20 in"}, costs: map[int64][]*decimal.Decimal{}, customer: 1}
		for _, k := range kinds()[:3] {
			x.receive(rt, k, 60)
		}
		rt.Repeat(map[string]func(*rapid.T){
			"receive": x.Receive, "receive more": x.Receive, "change": x.Change, "ask": x.Ask, "amend": x.Amend, "promise": x.Promise, "promise more": x.Promise,
			"make": x.Make, "make more": x.Make, "make still more": x.Make, "waste": x.Waste, "end": x.End, "flock": x.Flock, "": x.look,
		})
		x.lookAtAll(rt)
	})
}
