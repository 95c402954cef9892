package main

import (
	"encoding/csv"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/office"
)

// madeBadge makes the badge and gives the pieces of one transfer, and those with spare
// ones, of both its kinds, as counts.csv has them.
func madeBadge(t *testing.T) (pieces, take map[string]int) {
	t.Helper()
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "badge")
	rows, err := csv.NewReader(strings.NewReader(get(t, "badge/counts.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	pieces, take = map[string]int{}, map[string]int{}
	for _, r := range rows[1 : len(rows)-1] {
		pieces[r[1]], take[r[1]] = number(t, r[2]), number(t, r[3])
	}
	if len(pieces) != 2 || pieces["sun"] == 0 || take["crystal"] <= pieces["crystal"] {
		t.Fatalf("%v %v", pieces, take)
	}
	return pieces, take
}

// A job from asking to handing over: what it reserves is "with spare" of counts.csv,
// what it uses the pieces, transfers for the shelf come into stock at what they cost
// and fill the next job.
func TestAJob(t *testing.T) {
	desk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	each, take := madeBadge(t)
	receive := func(size, colour, pieces, cost string) {
		does(t, "stock", "receive", "--size", size, "--colour", colour, "--pieces", pieces, "--cost", cost)
	}
	receive("SS10", "crystal", "2000", "20")
	receive("flock", "Sheet 12 x 20 in", "5", "15")
	does(t, "customer", "add", "Saltmarsh Herons", "--email", "crew@herons.example").wants(t, exitDone, "customer 1")
	does(t, "job", "add", "badge=4:shelf", `badge/layout.json=5:disc:Disc 3 in`, "--customer", "herons", "--due", "2026-12-04").wants(t, exitDone, "Job 1 for Saltmarsh Herons is asked, due 2026-12-04", "5 × badge for disc (disc 3 in)")
	var rows []shortageRow
	does(t, "job", "short", "--all", "--json").reads(t, &rows)
	if len(rows) != 0 {
		t.Errorf("asked for, and it takes %+v", rows)
	}
	does(t, "job", "promise", "1").wants(t, exitDone, "is promised", "Short", "SS10 sun")
	does(t, "job", "short", "--all", "--json").reads(t, &rows)
	for _, r := range rows {
		want := map[string]int{"crystal": 9 * take["crystal"], "sun": 9 * take["sun"], "sheet 12 x 20 in": 1, "disc 3 in": 5}
		if n, ok := want[r.Colour]; ok && (r.Reserved != n || r.Short != max(0, n-r.OnHand)) {
			t.Errorf("%+v, want %d reserved", r, n)
		}
	}
	if len(rows) != 5 || rows[0].OnHand != 2000 || rows[3].Size != "tape" {
		t.Errorf("%+v", rows)
	}
	brushfall(t, "job", "make", "1").wants(t, exitInput, "SS10 sun", "wanted, 0 at shelf", "buy --jobs", "stock count", "--found")
	does(t, "pack", "add", "--supplier", "Reed & Co", "--size", "SS10", "--colour", "sun", "--pieces", "100", "--price", "1")
	var list office.BuyAnswer
	does(t, "buy", "--jobs", "--json").reads(t, &list)
	if n := list.Needs[1]; n.Colour != "sun" || n.Bought < 9*take["sun"] || n.Leftover >= 100 || n.Purchases[0].Supplier != "Reed & Co" {
		t.Errorf("%+v", list)
	}
	receive("SS10", "sun", "1000", "20")
	does(t, "job", "make", "1", "--line", "1").wants(t, exitDone, "4 made", "promised", "say where you put it")
	does(t, "job", "waste", "1", "--line", "2", "--transfers", "1", "--note", "slipped")
	does(t, "job", "make", "1").wants(t, exitDone, "is made")
	does(t, "job", "hand-over", "1").wants(t, exitDone, "is handed over")
	if got := pieces(t, "", "SS10", "sun"); got != 1000-10*each["sun"] {
		t.Errorf("%d sun left", got)
	}
	if got := pieces(t, "", "flock", "sheet 12 x 20 in"); got != 4 {
		t.Errorf("%d sheets of flock left: one is cut for both lines", got)
	}
	does(t, "stock", "list").wants(t, exitDone, "transfer", "design 1, badge")
	does(t, "job", "add", "1=6:garment", "--customer", "1")
	does(t, "job", "promise", "2").wants(t, exitDone, "4 from the shelf")
	does(t, "job", "drop", "2")
	does(t, "job", "add", "badge=6", "--to", "garment")
	does(t, "job", "promise", "3").wants(t, exitDone, "4 from the shelf")
	does(t, "job", "make", "3", "--line", "1", "--transfers", "5").wants(t, exitDone, "5 made")
	if got := pieces(t, "", "SS10", "sun"); got != 1000-11*each["sun"] {
		t.Errorf("%d sun left", got)
	}
	var j jobRow
	does(t, "job", "show", "1", "--json").reads(t, &j)
	if j.State != "handed over" || len(j.Steps) != 6 || j.Steps[2].What != "made" || j.Steps[2].Cost == nil || len(j.Steps[2].Deeds) != 4 || j.Steps[3].Note != "slipped" {
		t.Errorf("%+v", j)
	}
	does(t, "job", "list").wants(t, exitDone, "the shop")
	does(t, "job", "list", "--all", "--customer", "herons").wants(t, exitDone, "dropped", "handed over")
	does(t, "customer", "show", "1").wants(t, exitDone, "crew@herons.example", "5 × badge")
	does(t, "customer", "erase", "1", "--yes")
	does(t, "job", "list", "--all").wants(t, exitDone, "erased customer 1")
	does(t, "book", "check").wants(t, exitDone, "is sound")
}

// The templates of a made job are in the book, with picture and layout, one set for all
// that was brushed with it, and found where nobody said its place yet; lines are handed
// over one by one; what the book lacks is refused whole or counted up.
func TestTheTemplatesOfAJob(t *testing.T) {
	desk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	each, _ := madeBadge(t)
	does(t, "customer", "add", "Saltmarsh Herons")
	does(t, "job", "add", "badge=2:disc", "badge=3:bag", "--customer", "herons")
	does(t, "job", "promise", "1")
	does(t, "stock", "receive", "--size", "SS10", "--colour", "crystal", "--pieces", "2000", "--cost", "20")
	does(t, "stock", "receive", "--size", "SS10", "--colour", "sun", "--pieces", strconv.Itoa(3*each["sun"]), "--cost", "3")
	brushfall(t, "job", "make", "1").wants(t, exitInput, "job make 1 --line 2 --transfers 1", "Nothing was booked")
	does(t, "job", "make", "1", "--line", "1").wants(t, exitDone, "2 made", "brushfall template move")
	var found []templateRow
	does(t, "template", "find", "--place", "not put away yet", "--json").reads(t, &found)
	if len(found) != 1 || found[0].Uses != 2 || found[0].Design != "badge" || found[0].Called != "Saltmarsh Herons" {
		t.Fatalf("%+v", found)
	}
	code := found[0].Code
	does(t, "template", "move", code, "--to", "drawer 3")
	brushfall(t, "job", "hand-over", "1", "--line", "2").wants(t, exitInput, "3 of 3 left to make")
	does(t, "job", "hand-over", "1", "--line", "1", "--note", "to the cox").wants(t, exitDone, "promised, partly handed over", "2 made, handed over")
	does(t, "job", "list").wants(t, exitDone, "partly handed over")
	does(t, "job", "make", "1", "--found").wants(t, exitDone, "is made, partly handed over")
	if got := pieces(t, "", "SS10", "sun"); got != 0 {
		t.Errorf("%d sun left", got)
	}
	does(t, "job", "hand-over", "1", "--line", "2").wants(t, exitDone, "is handed over")
	does(t, "job", "show", "1").wants(t, exitDone, "handed line 1 over", "to the cox", "with "+code)
	does(t, "template", "show", code).wants(t, exitDone, "drawer 3", "job 1")
	does(t, "template", "export", "again", code)
	if get(t, "again/layout.json") != get(t, "badge/layout.json") {
		t.Error("another layout is kept")
	}
	does(t, "book", "check").wants(t, exitDone, "is sound")
}

func TestTheCatalogue(t *testing.T) {
	shopDesk(t)
	does(t, "catalogue", "list").wants(t, exitDone, "SS10", "common practice", "crystal ab", "hoodie xl", "304.8 × 508.0")
	if left := tree(t); len(left) != 0 {
		t.Errorf("a list began %v", left)
	}
	does(t, "catalogue", "add", "flock", "White 12 x 20 in", "--width", "12in", "--height", "20in", "--cost", "3.10", "--usual")
	does(t, "catalogue", "colour", "Harbour  Blue", "--shown", "#27567F", "--finish", "AB", "--sizes", "ss10,SS6").wants(t, exitDone, "harbour blue is in")
	does(t, "catalogue", "retire", "blank", "bow")
	does(t, "stock", "receive", "--size", "SS10", "--colour", "Harbour blue", "--pieces", "100", "--cost", "2")
	does(t, "stock", "receive", "--size", "flock", "--colour", "white 12 x 20 in", "--pieces", "10", "--cost", "31")
	var rows catalogueRows
	does(t, "catalogue", "list", "--json").reads(t, &rows)
	if c := rows.Colours[len(rows.Colours)-1]; c.Colour != "harbour blue" || c.Shown != "#27567f" || c.Finish != "ab" || strings.Join(c.Sizes, " ") != "SS6 SS10" || !c.Own {
		t.Errorf("%+v", c)
	}
	for _, g := range rows.Goods {
		if g.Class == "flock" && (g.Usual != (g.Name == "white 12 x 20 in") || g.Own && (g.OnHand != 10 || *g.Value != "31.00" || *g.Cost != "3.10")) {
			t.Errorf("%+v", g)
		}
		if g.Name == "bow" && !g.Retired {
			t.Errorf("%+v", g)
		}
	}
	does(t, "stock", "export", "-o", "out.csv")
	does(t, "stock", "import", "out.csv").wants(t, exitDone, "2 lots")
	does(t, "buy", "--want", "SS10 harbour blue 300").wants(t, exitDone, "1 × 100 at 2.00 as last bought")
	does(t, "book", "check").wants(t, exitDone, "200 stones")
}

func TestCustomerTables(t *testing.T) {
	shopDesk(t)
	put(t, "bad.csv", "name,email\nHerons,crew\nCoots,\n,x@y.example\n")
	put(t, "good.csv", "Email,Name,note\r\ncrew@herons.example,Saltmarsh Herons,\"pays, late\"\r\n,Ángela Ñandú,\r\n")
	brushfall(t, "customer", "import", "bad.csv", "--dry-run").wants(t, exitInput, "line 2", "line 4", "2 of 3 rows are wrong")
	var told customersRead
	o := brushfall(t, "customer", "import", "bad.csv", "--json")
	o.reads(t, &told)
	if o.code != exitInput || len(told.Bad) != 2 || told.Bad[1].Code != "customer" {
		t.Errorf("exit %d, %+v", o.code, told)
	}
	does(t, "customer", "import", "good.csv", "--dry-run").wants(t, exitDone, "nothing was added")
	does(t, "customer", "import", "good.csv").wants(t, exitDone, "2 customers")
	does(t, "customer", "change", "2", "--phone", "01632 960 123", "--name", "Ángela Ñandú Vega")
	does(t, "customer", "list", "ñandú").wants(t, exitDone, "01632 960 123", "Vega")
	does(t, "customer", "export", "-o", "out.csv")
	does(t, "customer", "import", "out.csv", "--book", "second.book")
	if again := does(t, "customer", "export", "--book", "second.book").stdout; again != get(t, "out.csv") || !strings.Contains(again, "\"pays, late\"\r\n") {
		t.Errorf("in and out again:\n%q\n%q", get(t, "out.csv"), again)
	}
}

func TestWrongInputToJobs(t *testing.T) {
	shopDesk(t)
	put(t, "counts.csv", "size,colour,pieces,with spare,gross of 144,packs of 1440,grams\r\nSS10,jet,100,102,1,1,1.44\r\ntotal,,100,102,1,1,1.44\r\n")
	does(t, "customer", "add", "Saltmarsh Herons", "--book", "s.book")
	does(t, "customer", "add", "Saltmarsh Coots", "--book", "s.book")
	does(t, "job", "add", "counts.csv=2:garment", "--customer", "1", "--book", "s.book").wants(t, exitDone, "2 × counts for garment")
	for _, c := range []struct {
		args string
		says []string
	}{
		{"job add", []string{"badge=12:disc"}},
		{"job add counts.csv", []string{"say where", "--to disc"}},
		{"job add counts.csv=x:disc", []string{`"x"`}},
		{"job add counts.csv=2:moon", []string{`"moon"`, "garment, bag, bow, disc, decal, shelf"}},
		{"job add counts.csv=0:disc --book s.book", []string{"0 transfers"}},
		{"job add counts.csv=2:shelf:bow --book s.book", []string{`"bow"`, "shelf"}},
		{"job add counts.csv=2:disc:plate --book s.book", []string{`"plate"`, "disc 3 in", "catalogue add"}},
		{"job add 7=2:disc --book s.book", []string{"no design 7"}},
		{"job add lost=2:disc --book s.book", []string{"lost"}},
		{"job add counts.csv=2:disc --customer saltmarsh --book s.book", []string{"2 customers", "Coots", "give the number"}},
		{"job add counts.csv=2:disc --customer otters --book s.book", []string{"otters", "customer list"}},
		{"job add counts.csv=2:disc --customer 9 --book s.book", []string{"no customer 9"}},
		{"job add counts.csv=2:disc --due tomorrow --book s.book", []string{"tomorrow", "2026-12-24"}},
		{"job promise seven", []string{`"seven"`, "job list"}},
		{"job promise 7 --book s.book", []string{"no job 7"}},
		{"job make 1 --book s.book", []string{"job 1 is asked", "promised or dropped"}},
		{"job make 1 --transfers 2 --book s.book", []string{"--line 2"}},
		{"job hand-over 1 --book s.book", []string{"job 1 is asked"}},
		{"job waste 1 --transfers 1 --book s.book", []string{"job 1 is asked"}},
		{"job waste 1 --book s.book", []string{"what was spoiled"}},
		{"job list --state ready --book s.book", []string{`"ready"`, "handed-over"}},
		{"job change 1 --remove 4 --book s.book", []string{"no line 4"}},
		{"job change 1 --remove 1 --book s.book", []string{"1 to 500 lines"}},
		{"customer erase 1 --book s.book", []string{"--yes"}},
		{"customer show 9 --book s.book", []string{"no customer 9"}},
		{"customer add --book s.book", []string{"name the customer"}},
		{"customer change 1 --email nowhere --book s.book", []string{"nowhere"}},
		{"customer import counts.csv --book s.book", []string{"name,email,phone,address,note"}},
		{"catalogue add cloth white", []string{`"cloth"`, "flock, tape, film, blank"}},
		{"catalogue colour sea --shown blue", []string{`"blue"`, "#1f4e79"}},
		{"catalogue colour sea --shown #123456 --finish matt", []string{`"matt"`}},
		{"catalogue retire blank plate --book s.book", []string{`"plate"`}},
		{"catalogue list stones", []string{`"stones"`}},
		{"stock receive --size flock --colour mud --pieces 1 --cost 1 --book s.book", []string{`"mud"`, "sheet 12 x 20 in"}},
		{"stock receive --size SS10 --colour mud --pieces 1 --cost 1 --book s.book", []string{`"mud"`, "light sapphire"}},
		{"buy --jobs --book lost.book", []string{"lost.book"}},
	} {
		o := brushfall(t, strings.Fields(c.args)...)
		if o.code != exitInput || o.stdout != "" {
			t.Errorf("%s: exit %d, stdout %q, stderr %q", c.args, o.code, o.stdout, o.stderr)
		}
		for _, says := range c.says {
			if !strings.Contains(o.stderr, says) {
				t.Errorf("%s: nothing says %q in %q", c.args, says, o.stderr)
			}
		}
	}
	does(t, "book", "check", "--book", "s.book").wants(t, exitDone, "is sound")
	if left := tree(t); len(left) != 2 {
		t.Errorf("the folder has %v", left)
	}
}
