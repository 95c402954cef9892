package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// made makes all files of a design and gives the number of its run.
func (b *benchProcess) made(design string) string {
	b.Helper()
	run := b.value(b.ask("POST", "/api/designs/"+design+"/runs", ""), "run")
	if events := string(b.ask("GET", "/api/runs/"+run+"/events", "")); !strings.Contains(events, "event: done\n") {
		b.Fatalf("the run ends with %.300s", events)
	}
	return run
}

// The papers and tables of the page are those of the commands on the same book and the
// same design, byte for byte, in every language and on both papers; and so are the
// figures of a quote, and the template that is entered.
func TestPapersOfThePageAreThoseOfTheCommands(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(mustWd(t), "config"))
	book := []string{"--book", "shop.book"}
	command := func(args ...string) outcome { return does(t, append(args, book...)...) }
	command("stock", "receive", "--size", "SS6", "--colour", "crystal", "--gross", "10", "--cost", "7.20", "--supplier", "Reed & Co")
	command("price", "set", "labour=18", "flock=6.50", "tape=0.80", "film=1.10", "currency=GBP", "tax=20% contained", "breaks=12:5%", "shop=Saltmarsh Sparkle; Reed Lane 3")
	command("price", "time", "brush", "95", "--times", "4") // the tickets of both have it
	b := openBench(t)
	design := b.value(b.ask("POST", "/api/designs", `{"lettering": {"text": "Heron"}}`), "id")
	run := b.made(design)
	for _, name := range []string{"layout.json", "counts.csv", "ticket.pdf", "proof.png", "sheet-1.svg", "sheet-1.dxf", "sheet-1.plt", "sheet-1.pdf"} {
		put(t, "out/"+name, string(b.ask("GET", "/api/runs/"+run+"/files/"+name, "")))
	}
	put(t, "heron.yaml", string(b.ask("GET", "/api/designs/"+design+"/job.yaml", "")))

	same := func(name, made string, page []byte) {
		t.Helper()
		if len(page) == 0 || get(t, made) != string(page) {
			t.Errorf("the %s of the page is not that of the command: %d and %d bytes", name, len(page), len(get(t, made)))
		}
	}
	who := b.value(b.ask("POST", "/api/shop/customers", `{"name": "Saltmarsh Herons", "address": "Weir Cottage"}`), "name")
	asked := `{"lines": [{"run": "` + run + `", "quantity": 12, "for": "garment"}], "customer": 1, "rush": true, "extras": [{"what": "Delivery", "amount": "4.90"}], "fees": ["card"], "day": "2026-03-01"}`
	page := b.ask("POST", "/api/shop/quotes", asked)
	told := command("quote", "out=12:garment", "--customer", who, "--rush", "--extra", "Delivery=4.90", "--fees", "card", "--day", "2026-03-01", "--json").stdout
	if one, two := quoteWithoutNumber(t, page), quoteWithoutNumber(t, []byte(told)); one != two {
		t.Errorf("the quote of the page is\n%s\nthat of the command\n%s", one, two)
	}
	b.ask("POST", "/api/shop/quotes/1/accept", `{"due": "2026-03-20"}`)
	b.ask("PUT", "/api/shop/prices", `[{"design": "Heron", "for": "garment", "from": 1, "price": "9.50"}, {"design": "Heron", "for": "garment", "from": 12, "price": "9.05"}]`)
	entered := b.ask("POST", "/api/shop/templates", `{"run": "`+run+`", "place": "drawer 3"}`)
	code := b.value(entered, "code")
	list := command("buy", "--want", "SS6 crystal 5000", "--json").stdout
	put(t, "list.json", list)

	for _, c := range []struct{ language, paper string }{{"en", "a4"}, {"de", "letter"}, {"es", "a4"}} {
		on := "language=" + c.language + "&paper=" + c.paper
		print := func(args ...string) {
			command(append(args, "--language", c.language, "--paper", c.paper, "-o", "p.pdf")...)
		}
		plain := func(args ...string) {
			does(t, append(args, "--language", c.language, "--paper", c.paper, "-o", "p.pdf")...)
		}
		print("quote", "print", "1")
		same("quote", "p.pdf", b.ask("GET", "/api/shop/quotes/1/quote.pdf?"+on, ""))
		print("quote", "print", "1", "--order", "--paid", "20")
		same("order sheet", "p.pdf", b.ask("GET", "/api/shop/quotes/1/order.pdf?paid=20&"+on, ""))
		print("price", "print", "--day", "2026-03-01", "--until", "2026-06-30", "--note", "Own artwork is welcome.")
		same("price list", "p.pdf", b.ask("GET", "/api/shop/prices.pdf?day=2026-03-01&until=2026-06-30&note=Own+artwork+is+welcome.&"+on, ""))
		print("template", "label", code, "--outline", "--first", "5", "--each-plate")
		same("label", "p.pdf", b.ask("GET", "/api/shop/templates/labels.pdf?code="+code+"&outline=true&first=5&each_plate=true&"+on, ""))
		plain("paper", "proof", "out", "--garment", "burgundy", "--customer", "Saltmarsh Herons; Weir Cottage", "--date", "2026-03-01", "--press", "cotton")
		same("proof", "p.pdf", b.ask("GET", "/api/runs/"+run+"/proof.pdf?garment=burgundy&customer=Saltmarsh+Herons%3B+Weir+Cottage&day=2026-03-01&press=cotton&"+on, ""))
		plain("paper", "care", "--press", "cotton", "--design", "Heron", "--code", code)
		same("care card", "p.pdf", b.ask("GET", "/api/papers/care.pdf?press=cotton&design=Heron&code="+code+"&"+on, ""))
		plain("paper", "buy", "list.json", "--currency", "GBP", "--shop", "Saltmarsh Sparkle; Reed Lane 3", "--date", "2026-03-01")
		same("buy list", "p.pdf", b.ask("POST", "/api/shop/buy.pdf?day=2026-03-01&"+on, `{"wants": [{"size": "SS6", "colour": "crystal", "pieces": 5000}]}`))
		command("make", "heron.yaml", "--language", c.language, "--paper", c.paper, "-o", "again")
		same("ticket", "again/ticket.pdf", b.ask("GET", "/api/runs/"+run+"/ticket.pdf?"+on, ""))
		does(t, "gauge", "--size", "SS6", "--step", "0.06", "--steps", "5", "--language", c.language, "--paper", c.paper, "-o", "trial")
		same("paper of trial holes", "trial/gauge.pdf", b.ask("GET", "/api/papers/gauge.pdf?size=SS6&step=0.06&steps=5&"+on, ""))
	}
	for what, args := range map[string][]string{"stock": {"stock", "export"}, "customers": {"customer", "export"}, "prices": {"price", "export"}} {
		if page := b.ask("GET", "/api/shop/"+what+".csv", ""); command(args...).stdout != string(page) {
			t.Errorf("the table of %s of the page is %q", what, page)
		}
	}
	if sound := string(b.ask("GET", "/api/shop/book", "")); !strings.Contains(sound, `"sound":true`) {
		t.Errorf("the book is %s", sound)
	}
	put(t, "copy.book", string(b.ask("GET", "/api/shop/book/backup", "")))
	if one, two := command("stock", "list", "--json").stdout, does(t, "stock", "list", "--json", "--book", "copy.book").stdout; one != two {
		t.Errorf("the stock of the backup is %s, of the book %s", two, one)
	}
	does(t, "book", "check", "--book", "copy.book")
	command("template", "export", "kept", code)
	if get(t, "kept/layout.json") != get(t, "out/layout.json") || get(t, "kept/sheet-1.plt") != get(t, "out/sheet-1.plt") {
		t.Error("the template that was entered on the page has other files")
	}
	command("template", "add", "out")
	if marks := command("template", "find", "--json").stdout; strings.Count(marks, b.value(entered, "mark")) < 2 {
		t.Errorf("the command does not know the same templates again: %s", marks)
	}
}

// quoteWithoutNumber gives a quote with all that must be alike in two of them.
func quoteWithoutNumber(t *testing.T, text []byte) string {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	delete(v, "quote")
	again, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprint(string(again))
}
