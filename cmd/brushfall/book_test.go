package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brushfall/internal/office"
)

// shopDesk goes to an empty folder whose data folder is in it too.
func shopDesk(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
}

func mustWd(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// does runs a command that must be done.
func does(t *testing.T, args ...string) outcome {
	t.Helper()
	o := brushfall(t, args...)
	if o.code != exitDone {
		t.Fatalf("%v: exit %d\n%s%s", args, o.code, o.stdout, o.stderr)
	}
	return o
}

// reads fills a value with the JSON of an answer.
func (o outcome) reads(t *testing.T, v any) {
	t.Helper()
	if err := json.Unmarshal([]byte(o.stdout), v); err != nil {
		t.Fatalf("%v in %q", err, o.stdout)
	}
}

// pieces gives what a book has of a kind.
func pieces(t *testing.T, book, size, colour string) int {
	t.Helper()
	var rows []holdingRow
	does(t, "stock", "list", "--book", book, "--json").reads(t, &rows)
	n := 0
	for _, r := range rows {
		if r.Size == size && r.Colour == colour {
			n += r.Pieces
		}
	}
	return n
}

func TestReceiving(t *testing.T) {
	shopDesk(t)
	for _, c := range []struct {
		how  string
		want int
	}{
		{"--pieces 1440", 1440},
		{"--gross 10", 1440}, // a gross is 144: common practice
		{"--gross 2.5", 360},
		{"--grams 30", 2128},             // at the catalogue's 0.0141 g a piece (from memory)
		{"--gross 10 --by-weight", 1500}, // common practice
	} {
		book := strings.ReplaceAll(c.how, " ", "") + ".book"
		args := append(strings.Fields("stock receive --size SS10 --colour crystal --cost 6.50 --book "+book), strings.Fields(c.how)...)
		does(t, args...)
		if got := pieces(t, book, "SS10", "crystal"); got != c.want {
			t.Errorf("%s: %d pieces, want %d", c.how, got, c.want)
		}
	}
	// By the shop's own weighing: 100 stones of 1.5 g, so 30 g are 2,000.
	does(t, strings.Fields("stock weigh --size SS10 --colour crystal --sample 100:1.5 --jar 15 --step 0.01 --keep --book own.book")...)
	does(t, strings.Fields("stock receive --size SS10 --colour crystal --grams 30 --cost 9 --book own.book")...)
	if got := pieces(t, "own.book", "SS10", "crystal"); got != 2000 {
		t.Errorf("by the own mass: %d", got)
	}
}

// A day in the default book, which is in the data folder of the XDG Base Directory
// Specification.
func TestADayInTheShop(t *testing.T) {
	shopDesk(t)
	kind := []string{"--size", "ss10", "--colour", "Crystal"}
	with := func(words string, more ...string) []string {
		return append(append(strings.Fields(words), kind...), more...)
	}
	does(t, with("stock receive --gross 10 --cost 6.50", "--supplier", "Reed & Co")...).wants(t, exitDone, "1440 on hand")
	if _, err := os.Stat(filepath.Join("data", "brushfall", "shop.book")); err != nil {
		t.Fatal(err)
	}
	does(t, with("stock use --pieces 400", "--note", "Herons")...).wants(t, exitDone, "1040 on hand")
	does(t, with("stock spoil --pieces 40")...).wants(t, exitDone, "1000 on hand")
	does(t, with("stock move --pieces 250 --to Market")...)
	does(t, with("stock count --pieces 760")...).wants(t, exitDone, "1010 on hand", "+10")
	does(t, with("stock weigh --sample 100:1.42 --jar 58.75 --tare 37.40 --step 0.01 --count")...).wants(t, exitDone, "1504 stones", "between 1490 and 1517", "1604 on hand")
	var rows []holdingRow
	does(t, "stock", "list", "--json").reads(t, &rows)
	if len(rows) != 1 || rows[0].Pieces != 1854 || len(rows[0].Places) != 2 || rows[0].Places[0] != (placeRow{"market", 250}) || *rows[0].Value == "" {
		t.Errorf("%+v", rows)
	}
	does(t, "stock", "list").wants(t, exitDone, "1854", "market 250, shelf 1604")
	does(t, "stock", "list", "--lots").wants(t, exitDone, "Reed & Co", "6.50")
	does(t, "stock", "history").wants(t, exitDone, "received", "Herons", "shelf to market", "by weight")
	does(t, "book", "check").wants(t, exitDone, "is sound", "1854 stones")
	does(t, "book", "backup", "safe.book").wants(t, exitDone, "safe.book is a sound copy")
	does(t, with("stock use --pieces 1600")...)
	does(t, "book", "restore", "safe.book").wants(t, exitDone, "is restored", "before-restore")
	does(t, "stock", "list").wants(t, exitDone, "1854")
}

func TestBuying(t *testing.T) {
	desk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	does(t, "buy", "--want", "SS6 jet 1500").wants(t, exitDone, "2 packs of 1440, price not known", "brushfall pack add")
	// 1,440 for 6.50, ten or more for 5.90; 288 for 1.60 with 2.00 of delivery. 1,700
	// less 144 on hand, worked by hand: 1,440 + 288 of two suppliers is 6.50 + 1.60 +
	// 2.00 = 10.10; 6 × 288 is 11.60; 2 × 1,440 is 13.00.
	add := func(words ...string) { does(t, append([]string{"pack"}, words...)...) }
	add("add", "--supplier", "Reed & Co", "--size", "SS10", "--colour", "sun", "--gross", "10", "--price", "6.50", "--price", "10:5.90")
	add("add", "--supplier", "Marsh", "--size", "SS10", "--colour", "sun", "--gross", "2", "--price", "1.60")
	add("supplier", "Marsh", "--delivery", "2")
	does(t, strings.Fields("stock receive --size SS10 --colour sun --gross 1 --cost 1")...)
	var list office.BuyAnswer
	does(t, "buy", "--want", "SS10 sun 1700", "--json").reads(t, &list)
	if list.Total != "10.10" || list.Delivery != "2.00" || len(list.Needs) != 1 || list.Needs[0].Leftover != 144+1728-1700 || len(list.Needs[0].Purchases) != 2 {
		t.Errorf("%+v", list)
	}
	does(t, "buy", "--want", "SS10 sun 1700").wants(t, exitDone, "1 × 1440 at 6.50 from Reed & Co", "1 × 288 at 1.60 from Marsh", "together 10.10")
	// As last bought, where no pack is known.
	does(t, strings.Fields("stock receive --size SS16 --colour jet --pieces 500 --cost 4")...)
	does(t, "buy", "--want", "SS16 jet 1200").wants(t, exitDone, "2 × 500 at 4.00 as last bought", "300")
	// Designs: by the folder, by the layout and by the counts they are the same.
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "out")
	rows, err := csv.NewReader(strings.NewReader(get(t, "out/counts.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var first string
	for _, arg := range []string{"out=12", "out/layout.json=12", "out/counts.csv=12"} {
		o := does(t, "buy", arg, "--json")
		if first == "" {
			first = o.stdout
		}
		if o.stdout != first {
			t.Errorf("%s gives another list", arg)
		}
	}
	list = office.BuyAnswer{}
	does(t, "buy", "out=12", "--json").reads(t, &list)
	for _, n := range list.Needs {
		for _, r := range rows {
			if r[0] == n.Size && r[1] == n.Colour && 12*number(t, r[3]) != n.Wanted {
				t.Errorf("%s %s: %d wanted, 12 × %s in the counts", n.Size, n.Colour, n.Wanted, r[3])
			}
		}
	}
	if len(list.Needs) != len(rows)-2 {
		t.Errorf("%d needs of %d rows", len(list.Needs), len(rows))
	}
	if both := does(t, "buy", "out", "out=11", "--json"); both.stdout != first {
		t.Error("two designs do not add up")
	}
}

func number(t *testing.T, text string) int {
	t.Helper()
	var n int
	if err := json.Unmarshal([]byte(text), &n); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestStockTables(t *testing.T) {
	shopDesk(t)
	put(t, "bad.csv", "size,colour,pieces\nSS10,mud,5\nSS10,jet,5\nSS10,jet,none\n")
	put(t, "good.csv", "size,colour,pieces,cost,place,supplier\nSS10,jet,1440,6.50,,Reed & Co\nSS6,siam,700,,market,\n")
	o := brushfall(t, "stock", "import", "bad.csv", "--dry-run")
	o.wants(t, exitInput, "line 2", `"mud"`, "line 4", `"none"`, "2 of 3 rows are wrong")
	var told imported
	o = brushfall(t, "stock", "import", "bad.csv", "--json")
	o.reads(t, &told)
	if o.code != exitInput || len(told.Bad) != 2 || told.Bad[0].Code != "colour-unknown" || told.Rows != 3 {
		t.Errorf("exit %d, %+v", o.code, told)
	}
	does(t, "stock", "import", "good.csv", "--dry-run").wants(t, exitDone, "nothing was booked", "2140")
	if _, err := os.Stat("data"); err == nil {
		t.Error("a dry run began a book")
	}
	does(t, "stock", "import", "good.csv").wants(t, exitDone, "2140 stones in 2 lots")
	does(t, strings.Fields("stock use --size SS10 --colour jet --pieces 720")...)
	does(t, "stock", "export", "-o", "out.csv")
	does(t, "stock", "import", "out.csv", "--book", "second.book")
	if got := does(t, "stock", "export", "--book", "second.book").stdout; got != get(t, "out.csv") {
		t.Errorf("in and out again:\n%s\n%s", get(t, "out.csv"), got)
	}
	if pieces(t, "second.book", "SS10", "jet") != 720 || pieces(t, "second.book", "SS6", "siam") != 700 {
		t.Error("the pieces differ")
	}
}

func TestWrongInputToTheBook(t *testing.T) {
	shopDesk(t)
	does(t, strings.Fields("stock receive --book s.book --size SS10 --colour jet --pieces 100 --cost 1")...)
	put(t, "prose", "Dear Herons")
	for _, c := range []struct {
		args string
		says []string
	}{
		{"stock list", []string{"there is no book", "stock receive"}},
		{"stock list --book lost.book", []string{"lost.book"}},
		{"stock list --book prose", []string{"prose", "no shop's book"}},
		{"stock receive --size SS10 --colour jet --cost 1", []string{"--pieces 1440", "--gross 10", "--grams 30"}},
		{"stock receive --size SS10 --colour jet --pieces 5 --gross 1 --cost 1", []string{"one of"}},
		{"stock receive --size SS10 --colour jet --pieces 5", []string{"--cost 6.50"}},
		{"stock receive --size SS10 --colour jet --pieces 5 --cost 6,50", []string{"--cost", "6.50"}},
		{"stock receive --size SS10 --colour jet --pieces -5 --cost 1", []string{"-5 pieces"}},
		{"stock receive --size SS10 --colour jet --gross 0.1 --cost 1", []string{"--gross"}},
		{"stock receive --size SS10 --colour jet --grams NaN --cost 1", []string{"--grams"}},
		{"stock receive --colour jet --pieces 5 --cost 1", []string{"--size SS10"}},
		{"stock receive --size SS11 --colour jet --pieces 5 --cost 1", []string{"--size", "SS16"}},
		{"stock use --book s.book --size SS10 --colour jet --pieces 101", []string{"the book has 100", "stock count"}},
		{"stock use --book s.book --size SS10 --colour jet", []string{"--pieces"}},
		{"stock move --book s.book --size SS10 --colour jet --pieces 1", []string{"--to market"}},
		{"stock weigh --size SS10 --colour jet --jar 5 --step 0.01", []string{"count some stones"}},
		{"stock weigh --size SS10 --colour jet --sample 100 --jar 5 --step 0.01", []string{"100:1.42"}},
		{"stock import prose", []string{"prose", "size,colour,pieces"}},
		{"stock lst", []string{"did you mean list"}},
		{"pack add --supplier Reed --size SS10 --colour jet --gross 10", []string{"--price 6.50"}},
		{"pack add --supplier Reed --size SS10 --colour jet --gross 10 --price x:1", []string{"10:5.90"}},
		{"pack remove 7 --book s.book", []string{"no pack 7"}},
		{"buy", []string{"--want"}},
		{"buy prose.csv", []string{"prose.csv"}},
		{"buy prose=x", []string{"no number of transfers"}},
		{"book check --book prose", []string{"no shop's book"}},
		{"book restore prose --book s.book", []string{"prose"}},
		{"book backup prose --book s.book", []string{"--force"}},
		{"book backup s.book --book s.book --force", []string{"the book itself"}},
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
	does(t, "book", "check", "--book", "s.book").wants(t, exitDone, "100 stones")
	if left := tree(t); len(left) != 2 {
		t.Errorf("the folder has %v", left)
	}
}
