package web

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// priced starts a workbench with a book in which prices can be made, and gives the run
// of a small design.
func priced(t *testing.T) (*window, string) {
	t.Helper()
	w := withShop(t)
	w.send("PUT", "/api/shop/prices/settings", map[string]string{"labour": "18", "flock": "6.50", "tape": "0.80", "currency": "EUR", "breaks": "12:5%, 50:10%"}).is(200)
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "gross": 20, "cost": "11.80"}).is(201)
	return w, w.made(w.disc().ID)
}

// order asks for so many of a run's design on a garment.
func order(run string, quantity int) map[string]any {
	return map[string]any{"lines": []any{map[string]any{"run": run, "quantity": quantity, "for": "garment"}}}
}

// A quote is reckoned while it is typed, kept, changed, taken and turned down; each step
// leaves in the book what it says and nothing else.
func TestQuotesFromThePage(t *testing.T) {
	w, run := priced(t)
	dry := read[wholeQuoteBody](w.send("POST", "/api/shop/quotes/reckon", order(run, 12)).is(200))
	if all := read[[]QuoteRow](w.send("GET", "/api/shop/quotes", nil)); len(all) != 0 || dry.Number != 0 || dry.Total == "0" {
		t.Fatalf("reckoning left %+v, and says %+v", all, dry.QuoteRow)
	}
	rungs := read[[]rungBody](w.send("POST", "/api/shop/prices/ladder", map[string]any{"run": run, "quantity": 1, "for": "garment"}).is(200))
	if len(rungs) != 3 || rungs[1].From != 12 || rungs[1].Price != dry.Offers[0].Price.String() || !(rungs[0].Price > rungs[2].Price) {
		t.Errorf("the ladder is %+v beside a price of %s for 12", rungs, dry.Offers[0].Price)
	}
	who := read[customerBody](w.send("POST", "/api/shop/customers", map[string]any{"name": "Saltmarsh Herons"}).is(201))
	ask := order(run, 12)
	ask["customer"], ask["rush"], ask["note"] = who.ID, true, "regatta"
	one := read[wholeQuoteBody](w.send("POST", "/api/shop/quotes", ask).is(201))
	if one.Number != 1 || one.Called != "Saltmarsh Herons" || one.Answer != "given" || one.Rush.IsZero() || one.Total == dry.Total {
		t.Fatalf("the quote is %+v", one.QuoteRow)
	}
	// The settings have changed since: a quote in the place of another is reckoned as that was.
	w.send("PUT", "/api/shop/prices/settings", map[string]string{"labour": "40"}).is(200)
	line := map[string]any{"lines": []any{map[string]any{"line": 1, "quantity": 12, "for": "garment"}}, "rush": true, "customer": who.ID}
	if same := read[wholeQuoteBody](w.send("POST", "/api/shop/quotes/1/reckon", line).is(200)); same.Total != one.Total {
		t.Errorf("unchanged it costs %s, before %s", same.Total, one.Total)
	}
	line["lines"].([]any)[0].(map[string]any)["quantity"] = 50
	two := read[wholeQuoteBody](w.send("POST", "/api/shop/quotes/1/change", line).is(201))
	if two.Number != 2 || two.Offers[0].Quantity != 50 || two.Offers[0].Less.String() != "0.1" {
		t.Errorf("changed it is %+v", two.QuoteRow)
	}
	w.send("POST", "/api/shop/quotes/1/change", line).fails(409, "quote-answered")
	taken := read[QuoteRow](w.send("POST", "/api/shop/quotes/2/accept", map[string]any{"due": "2026-12-04"}).is(200))
	if j := read[jobBody](w.send("GET", fmt.Sprintf("/api/shop/jobs/%d", taken.Job), nil).is(200)); taken.Answer != "taken" || j.Lines[0].Quantity != 50 || j.Called != "Saltmarsh Herons" || j.Due != "2026-12-04" {
		t.Errorf("taken it is %+v, the job %+v", taken, j)
	}
	w.send("POST", "/api/shop/quotes/2/decline", nil).fails(409, "quote-answered")
	w.send("POST", "/api/shop/quotes", order(run, 3)).is(201)
	if no := read[QuoteRow](w.send("POST", "/api/shop/quotes/3/decline", nil).is(200)); no.Answer != "turned down" {
		t.Errorf("turned down it is %+v", no)
	}
	if all := read[[]QuoteRow](w.send("GET", "/api/shop/quotes", nil)); len(all) != 3 || all[2].Answer != "turned down" {
		t.Errorf("the quotes are %+v", all)
	}
	w.send("GET", "/api/shop/quotes/3/order.pdf", nil).fails(409, "quote-answered")
	if again := read[wholeQuoteBody](w.send("GET", "/api/shop/quotes/2", nil).is(200)); again.Total != two.Total {
		t.Errorf("shown again it is %s, was %s", again.Total, two.Total)
	}
}

func TestQuotesRefuse(t *testing.T) {
	w := withShop(t)
	run := w.made(w.disc().ID)
	w.send("POST", "/api/shop/quotes/reckon", order(run, 1)).fails(422, "price-stones")
	w.send("POST", "/api/shop/stock/receive", map[string]any{"size": "SS10", "colour": "crystal", "gross": 20, "cost": "11.80"}).is(201)
	w.send("POST", "/api/shop/quotes/reckon", order(run, 1)).fails(422, "price-unset")
	w.send("POST", "/api/shop/quotes/reckon", order("none", 1)).fails(404, "run-missing")
	w.send("POST", "/api/shop/quotes", map[string]any{"lines": []any{}}).fails(422, "request")
	w.send("POST", "/api/shop/quotes", map[string]any{"lines": []any{map[string]any{"line": 1, "quantity": 1, "for": "garment"}}}).fails(422, "quote-line")
	w.send("POST", "/api/shop/quotes", order(run, 0)).fails(422, "request")
	w.send("GET", "/api/shop/quotes/7", nil).fails(404, "quote-unknown")
	w.send("GET", "/api/shop/quotes/7/quote.pdf", nil).fails(404, "quote-unknown")
	w.send("PUT", "/api/shop/prices/settings", map[string]string{"labor": "18"}).fails(422, "price-setting")
	w.send("PUT", "/api/shop/prices/settings", map[string]string{"labour": "18", "flock": "six"}).fails(422, "price-value")
	if rows := string(w.send("GET", "/api/shop/prices/settings/history", nil).body); rows != "[]\n" {
		t.Errorf("what was refused is set: %s", rows)
	}
	w.send("GET", "/api/shop/prices.pdf?language=fr", nil).fails(422, "request")
	w.send("GET", "/api/papers/gauge.pdf?size=..%2F..%2Fetc", nil).fails(422, "size-unknown")
	w.send("GET", "/api/papers/care.pdf?press=%2Fetc%2Fpasswd", nil).fails(422, "choice")
	w.send("GET", "/api/shop/templates/labels.pdf?code=..%2F..%2Fetc", nil).fails(422, "template-code")
	w.send("POST", "/api/shop/quotes", order(run, 1), "Origin", "https://evil.example").fails(403, "cross-origin")
}

// form sends a table as the page does.
func (w *window) form(path, name, text string) answer {
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("table", name)
	if err != nil {
		w.Fatal(err)
	}
	_, _ = io.WriteString(part, text)
	_ = form.Close()
	return w.send("POST", path, b.Bytes(), "Content-Type", form.FormDataContentType())
}

// Tables go out and come in whole or not at all; a dry run books nothing; what goes
// out comes in again the same.
func TestTablesFromThePage(t *testing.T) {
	w := withShop(t)
	good := "size,colour,pieces,cost\nSS10,crystal,1440,6.50\nSS6,crystal,720,\n"
	dry := read[tableBody](w.form("/api/shop/stock.csv?dry_run=true", "shelf.csv", good).is(200))
	if dry.Rows != 2 || dry.Pieces != 2160 || dry.Booked || len(read[[]holdingBody](w.send("GET", "/api/shop/stock", nil))) != 0 {
		t.Errorf("the dry run says %+v", dry)
	}
	bad := good + "SS99,crystal,12,\nSS10,crystal,many,\n"
	if told := read[tableBody](w.form("/api/shop/stock.csv?dry_run=true", "shelf.csv", bad).is(200)); len(told.Bad) != 2 || told.Bad[0].Code != "size-unknown" || !strings.Contains(told.Bad[1].Where, "5") {
		t.Errorf("the bad rows are %+v", told.Bad)
	}
	w.form("/api/shop/stock.csv", "shelf.csv", bad).fails(422, "csv-line")
	if all := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil)); len(all) != 0 {
		t.Errorf("a table with bad rows booked %+v", all)
	}
	if in := read[tableBody](w.form("/api/shop/stock.csv", "shelf.csv", good).is(200)); !in.Booked {
		t.Errorf("the import says %+v", in)
	}
	out := w.send("GET", "/api/shop/stock.csv", nil).is(200)
	again := withShop(t)
	again.form("/api/shop/stock.csv", "stock.csv", string(out.body)).is(200)
	if back := again.send("GET", "/api/shop/stock.csv", nil).is(200); !bytes.Equal(out.body, back.body) || out.header.Get("Content-Disposition") != `attachment; filename="stock.csv"` {
		t.Errorf("out went\n%s\nand came back\n%s", out.body, back.body)
	}
	w.form("/api/shop/customers.csv", "crew.csv", "name,email\nSaltmarsh Herons,crew@example.org\n").is(200)
	w.form("/api/shop/prices.csv", "prices.csv", "design,for,from,price\nHeron,disc,1,9.50\nHeron,disc,12,9\n").is(200)
	list := read[tableBody](w.form("/api/shop/prices.csv?whole=true&dry_run=true", "prices.csv", "design,for,from,price\nHeron,disc,1,9.90\n").is(200))
	if len(list.New) != 1 || len(list.Gone) != 1 || list.Gone[0].From != 12 {
		t.Errorf("the list would change by %+v", list)
	}
	w.form("/api/shop/prices.csv", "prices.csv", "nothing").fails(422, "csv-head")
}

// A quote keeps a layout and no picture: that of the templates which its job enters is
// drawn by the layout, on the page and on the label.
func TestTemplateOfAQuoteHasAPicture(t *testing.T) {
	w, run := priced(t)
	w.send("POST", "/api/shop/quotes", order(run, 2)).is(201)
	taken := read[QuoteRow](w.send("POST", "/api/shop/quotes/1/accept", map[string]any{"due": "2026-12-04"}).is(200))
	w.send("POST", fmt.Sprintf("/api/shop/jobs/%d/promise", taken.Job), map[string]any{}).is(200)
	w.send("POST", fmt.Sprintf("/api/shop/jobs/%d/make", taken.Job), map[string]any{}).is(200)
	all := read[[]TemplateRow](w.send("GET", "/api/shop/templates", nil).is(200))
	if len(all) != 1 {
		t.Fatalf("the templates are %+v", all)
	}
	img, err := jpeg.Decode(bytes.NewReader(w.send("GET", "/api/shop/templates/"+all[0].Code+"/picture", nil).is(200).body))
	if err != nil {
		t.Fatal(err)
	}
	size, light := img.Bounds().Size(), 0
	for y := range size.Y {
		for x := range size.X {
			if r, _, _, _ := img.At(x, y).RGBA(); r > 0xa000 {
				light++
			}
		}
	}
	if max(size.X, size.Y) > 480 || min(size.X, size.Y) < 100 || light < size.X*size.Y/50 {
		t.Errorf("a picture of crystal on dark cloth has %d light points of %d × %d", light, size.X, size.Y)
	}
	if label := w.send("GET", "/api/shop/templates/labels.pdf?code="+all[0].Code, nil).is(200); !bytes.Contains(label.body, []byte("/Image")) {
		t.Error("the label has no picture")
	}
}

// Templates are entered from a run, found by their stones, said to be brushed or not,
// and give their files again.
func TestTemplatesFromThePage(t *testing.T) {
	w, run := priced(t)
	in := read[TemplateRow](w.send("POST", "/api/shop/templates", map[string]any{"run": run, "place": "drawer 3", "note": "regatta"}).is(201))
	if in.Place != "drawer 3" || len(in.Kinds) != 1 || in.Kinds[0].Size != "SS10" || in.Plates != 1 {
		t.Errorf("entered is %+v", in)
	}
	if p := w.send("GET", "/api/shop/templates/"+in.Code+"/picture", nil).is(200); p.header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("the picture is a %s", p.header.Get("Content-Type"))
	}
	for query, want := range map[string]int{"words=regat": 1, "words=crest": 0, "colour=Crystal&size=ss10": 1, "size=SS6": 0, "since=2000-01-01": 1, "until=2000-01-01": 0, "place=drawer+3": 1} {
		if found := read[[]TemplateRow](w.send("GET", "/api/shop/templates?"+query, nil).is(200)); len(found) != want {
			t.Errorf("%s finds %d, want %d", query, len(found), want)
		}
	}
	some := read[[]brushBody](w.send("GET", "/api/shop/templates/can-brush", nil).is(200))
	if len(some) != 1 || !some[0].Can || some[0].Transfers != 20*144/in.Kinds[0].Take {
		t.Errorf("it can be brushed: %+v", some)
	}
	many := read[[]brushBody](w.send("GET", "/api/shop/templates/can-brush?transfers=1000&all=true", nil).is(200))
	if len(many) != 1 || many[0].Can || many[0].Missing[0].Pieces != 1000*in.Kinds[0].Take-20*144 {
		t.Errorf("a thousand can be brushed: %+v", many)
	}
	after := read[TemplateRow](w.send("POST", "/api/shop/templates/"+in.Code+"/history", map[string]any{"what": "brushed", "times": 12}).is(200))
	if after.Uses != 12 {
		t.Errorf("brushed 12 times it is %+v", after)
	}
	if zip := w.send("GET", "/api/shop/templates/"+in.Code+"/files.zip", nil).is(200); !bytes.HasPrefix(zip.body, []byte("PK")) || !bytes.Contains(zip.body, []byte("sheet-1.plt")) {
		t.Error("its files are no zip")
	}
	quote := map[string]any{"lines": []any{map[string]any{"template": in.Code, "quantity": 2, "for": "decal"}}, "with": map[string]string{"film": "1.10"}}
	w.send("POST", "/api/shop/quotes/reckon", quote).is(200)
	w.send("POST", "/api/shop/templates", map[string]any{"run": "none"}).fails(404, "run-missing")
}

// What is named in an address is changed, and nothing else.
func TestCustomersAndJobsChange(t *testing.T) {
	w, run := priced(t)
	for _, name := range []string{"Saltmarsh Herons", "Weir Rowers"} {
		w.send("POST", "/api/shop/customers", map[string]any{"name": name}).is(201)
	}
	w.send("PUT", "/api/shop/customers/2", map[string]any{"name": "Weir Rowing Club", "phone": "12 34"}).is(200)
	if one := read[customerBody](w.send("GET", "/api/shop/customers/2", nil).is(200)); one.Name != "Weir Rowing Club" || one.Phone != "12 34" {
		t.Errorf("the second customer is %+v", one)
	}
	w.send("GET", "/api/shop/customers/3", nil).fails(404, "customer-unknown")
	w.send("POST", "/api/shop/jobs", map[string]any{"lines": []any{map[string]any{"run": run, "quantity": 3, "destination": "garment"}}}).is(201)
	j := read[jobBody](w.send("PUT", "/api/shop/jobs/1", map[string]any{"due": "2026-12-11", "customer": 2, "add": []any{map[string]any{"run": run, "quantity": 1, "destination": "shelf"}}}).is(200))
	if j.Due != "2026-12-11" || j.Called != "Weir Rowing Club" || len(j.Lines) != 2 {
		t.Errorf("changed the job is %+v", j)
	}
	w.send("POST", "/api/shop/jobs/1/promise", map[string]any{}).is(200)
	before := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil))[0].Pieces
	w.send("POST", "/api/shop/jobs/1/waste", map[string]any{"line": 1, "stones": []any{map[string]any{"size": "SS10", "colour": "crystal", "pieces": 35}}}).is(200)
	if after := read[[]holdingBody](w.send("GET", "/api/shop/stock", nil))[0].Pieces; before-after != 35 {
		t.Errorf("%d stones were spoiled", before-after)
	}
}

// The description is what OpenAPI 3.1.0 asks for where this is easily said: every
// operation has a name of its own and a summary; schemas are of JSON Schema 2020-12, lead
// somewhere, and are kept by the answers. Each address is in docs/formats/api.md.
func TestTheDescriptionIsTrue(t *testing.T) {
	w, run := priced(t)
	w.send("POST", "/api/shop/quotes", order(run, 12)).is(201)
	w.send("POST", "/api/shop/templates", map[string]any{"run": run}).is(201)
	text := w.send("GET", "/api/openapi.json", nil).is(200).body
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	schemas := jsonschema.NewCompiler()
	schemas.DefaultDraft(jsonschema.Draft2020)
	if err := schemas.AddResource("mem:api", doc); err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile("../../docs/formats/api.md")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for at, item := range doc.(map[string]any)["paths"].(map[string]any) {
		if short := strings.TrimPrefix(strings.TrimPrefix(at, "/api/shop/"), "/api/"); !strings.Contains(string(page), last(short)) {
			t.Errorf("docs/formats/api.md does not name %s", at)
		}
		for method, op := range item.(map[string]any) {
			name, _ := op.(map[string]any)["operationId"].(string)
			if summary, _ := op.(map[string]any)["summary"].(string); name == "" || seen[name] || summary == "" {
				t.Errorf("%s %s has the name %q and the summary %q", method, at, name, summary)
			}
			seen[name] = true
		}
	}
	for _, at := range []string{"quotes", "quotes/1", "templates", "templates/can-brush", "prices/settings", "prices/settings/history", "catalogue", "stock", "customers", "jobs"} {
		path := "/api/shop/" + strings.Replace(at, "quotes/1", "quotes/{quote}", 1)
		schema, err := schemas.Compile("mem:api#/paths/" + strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D").Replace(path) + "/get/responses/200/content/application~1json/schema")
		if err != nil {
			t.Fatal(err)
		}
		var v any
		if err := json.Unmarshal(w.send("GET", "/api/shop/"+at, nil).is(200).body, &v); err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(v); err != nil {
			t.Errorf("%s is not as described: %v", at, err)
		}
	}
}

// The newest run of a design is found again, of no other design, and none before it was.
func TestTheLastRunIsFound(t *testing.T) {
	w := openWindow(t)
	d, other := w.disc(), w.disc()
	w.send("GET", "/api/designs/"+d.ID+"/runs", nil).fails(404, "run-missing")
	run := w.made(d.ID)
	if last := read[lastRunOut](w.send("GET", "/api/designs/"+d.ID+"/runs", nil).is(200)); last.Run != run || last.Revision != d.Revision {
		t.Errorf("the last run is %+v, want %s", last, run)
	}
	w.send("GET", "/api/designs/"+other.ID+"/runs", nil).fails(404, "run-missing")
}

// last gives the last part of an address that is no name of a thing.
func last(address string) string {
	parts := strings.Split(address, "/")
	for i := len(parts) - 1; i >= 0; i-- {
		if !strings.HasPrefix(parts[i], "{") {
			return parts[i]
		}
	}
	return address
}

// Answers of text go out packed to those who take it, and are the same then; streams of
// events, papers and short answers are not touched.
func TestAnswersArePacked(t *testing.T) {
	w, run := priced(t)
	plain := w.send("GET", "/api/openapi.json", nil).is(200)
	small := w.send("GET", "/api/openapi.json", nil, "Accept-Encoding", "gzip").is(200)
	r, err := gzip.NewReader(bytes.NewReader(small.body))
	if err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(r); err != nil || !bytes.Equal(text, plain.body) || len(small.body)*3 > len(plain.body) || !strings.Contains(strings.Join(small.header.Values("Vary"), ","), "Accept-Encoding") {
		t.Errorf("%d bytes are packed to %d; Vary %q, %v", len(plain.body), len(small.body), small.header.Values("Vary"), err)
	}
	for _, path := range []string{"/api/runs/" + run + "/events", "/api/runs/" + run + "/ticket.pdf", "/api/shop/quotes"} {
		req, _ := http.NewRequestWithContext(t.Context(), "GET", w.url+path, nil)
		req.Header.Set("Accept-Encoding", "gzip")
		res, err := w.client.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		_ = res.Body.Close()
		if res.StatusCode != 200 || res.Header.Get("Content-Encoding") != "" {
			t.Errorf("%s: %s, %q", path, res.Status, res.Header.Get("Content-Encoding"))
		}
	}
}
