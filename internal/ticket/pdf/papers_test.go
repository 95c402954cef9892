package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/fault"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/papertest"
	"brushfall/internal/wording"
)

// every prints every paper in every language on both sizes of page.
func every(t *testing.T, check func(t *testing.T, name string, l wording.Language, size Paper, data []byte)) {
	t.Helper()
	for _, l := range wording.Languages() {
		for name := range papers(t, l) {
			for _, size := range []Paper{A4, Letter} {
				if name == "labels" && size == Letter {
					continue // its stickers are on a page of their own size
				}
				check(t, name, l, size, paper(t, name, l, Options{Paper: size}))
			}
		}
		for name, in := range map[string]ticket.Input{"ticket": badgeInput(t), "ticket, crowded": crowdedInput(t)} {
			in.Language = l
			for _, size := range []Paper{A4, Letter} {
				check(t, name, l, size, printed(t, in, Options{Paper: size}))
			}
		}
	}
}

// stop lists words that English cannot do without and the other languages do not have.
var stop = regexp.MustCompile(`(?i)\b(the|and|with|of|is|are|not|from|which|your|left|over|stones?|sheets?|plates?|page)\b`)

// ours are the words of the made-up shop, which stay as they are written.
var ours = regexp.MustCompile(`(?i)heron badge on a navy hoodie|crew name on a bag|wine glass decal.*?rim|twelve and more|rush|pressed onto .*? first\.|colours are matched by eye\.|on collection.*?account\.|badge, up to .*?mm|jacket back with .*?lettering|names and numbers|a transfer for each row of your list|onto your garment|artwork of your own .*?carry\.|by weight, art.*?zip|template flock|ss6 and ss10, two colours|window decal|decals|heron|from memory|weir|saltmarsh|supporters’? and friends.*?association|hello@|reed`)

// qpdf must find no fault in any paper, poppler every word within the margins and none
// upon another, in every language on both pages; and papers that are not English must
// have no English words but the shop's own.
func TestPapersHoldInEveryLanguage(t *testing.T) {
	every(t, func(t *testing.T, name string, l wording.Language, size Paper, data []byte) {
		t.Helper()
		what := fmt.Sprintf("%s, %s, %s", name, l, size)
		path := saved(t, data)
		if out := run(t, "qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Errorf("%s: qpdf says %s", what, out)
		}
		pages := popplerPages(t, path)
		for n, page := range pages {
			if name == "labels" {
				continue // stickers begin where the grid says: TestLabelsStayInTheirCells
			}
			papertest.CheckWords(t, fmt.Sprintf("%s, page %d", what, n+1), page)
		}
		if l == wording.English || strings.HasPrefix(name, "labels") {
			return
		}
		text := strings.Join(strings.Fields(run(t, "pdftotext", path, "-")), " ")
		if found := stop.FindAllString(ours.ReplaceAllString(text, ""), -1); found != nil {
			slices.Sort(found)
			t.Errorf("%s has English words: %v", what, slices.Compact(found))
		}
	})
}

// poppler reads every line of a model in its paper.
func TestPapersSayWhatTheirModelsHold(t *testing.T) {
	v := wording.In(wording.English)
	amount := func(text string) string { return v.Money(money(text), "EUR") }
	sale := saleSample(wording.English, 4)
	saleLines := []string{sale.Shop.Name, sale.Shop.Lines[2], "Supporters’ and Friends’", "Łukasz Nguyễn", "李明", "2031-017", "3 May 2031", "Rush €15.00", "−€20.00", "VAT, 19 % of €129.10", "€24.53", "Total €153.63", "matched by eye"}
	for _, l := range sale.Lines {
		saleLines = append(saleLines, l.Code, l.Detail[0], l.Detail[1], fmt.Sprintf("%d €7.45 %s", l.Pieces, v.Money(l.Amount, "EUR")))
	}
	want := map[string][]string{
		"quote":    append(saleLines, "Valid until", "3 June 2031", "Yes, please make it", "Signature", "swallowed", "REACH"),
		"order":    {"Ready by", "23 May 2031", "not an invoice", "How to pay", "On collection", "Paid €50.00", "Still to pay €7,923.00", "42 €7.45 €312.90", "CPSIA"},
		"prices":   {"Price list", "from 12 from 48", "Badge, up to 100 mm €9.50 €8.25 €7.45 €6.90", "ask", amount("1138"), "Tax is in the prices", "lip area", "Window decal €14.00", "3 November 2031"},
		"buy":      {"Reed & Co", "customer 4711", "SS10 light sapphire 3,120 3 €5.90 €17.70 1,200", "by weight, art. 88-102", "1,440 pieces a pack", "€34.40", "As last bought", "No price known", "SS16 smoked topaz", "SS6 jet, SS10 crystal", "€57.90", "leaded crystal"},
		"labels":   {"99E6-M3PX", "Plate 1 of 2", "Drawer 4", "SS10 light sapphire × 972", "李明"},
		"care":     {"inside out", "No softener", "30 °C", "swallowed", "Heron badge · Cotton and blends", "overrules"},
		"care any": {"Wipe it", "Vehicle windows", "dishwasher"},
		"proof":    {"Small heron", "79.3 mm (3.12 in)", "true size", "burgundy", "237", "178", "shimmers in all colours", "Yes, make it", "Signature", "swallowed", "415 stones in all"},
	}
	for name, lines := range want {
		text := strings.Join(strings.Fields(run(t, "pdftotext", "-layout", saved(t, paper(t, name, wording.English, Options{})), "-")), " ")
		for _, w := range lines {
			if !strings.Contains(text, w) {
				t.Errorf("the %s lacks %q", name, w)
			}
		}
		if (name == "proof" || strings.HasPrefix(name, "care")) && strings.ContainsAny(text, "€$£") {
			t.Errorf("the %s has a price", name)
		}
	}
	// a line of Arabic is read in its own order
	if text := run(t, "pdftotext", saved(t, paper(t, "quote", wording.English, Options{})), "-"); !strings.Contains(text, "مريم العلي") {
		t.Errorf("the quote lacks the Arabic name")
	}
}

// A proof that fits is at its true size: poppler's SVG of the page has the lines of the
// measures and the bar as long as the design says, to 0.02 mm.
func TestProofIsAtTrueSize(t *testing.T) {
	for _, c := range []struct {
		in    ticket.Input
		size  Paper
		scale float64
	}{{smallInput(t), A4, 1}, {smallInput(t), Letter, 1}, {badgeInput(t), A4, 0}} {
		model := proofSample(t, wording.English, c.in)
		path := saved(t, paper(t, map[bool]string{true: "proof", false: "proof wide"}[c.scale == 1], wording.English, Options{Paper: c.size}))
		lines := levelLines(t, run(t, "pdftocairo", "-svg", "-f", "1", "-l", "1", path, "-"))
		if c.scale == 1 {
			near(t, lines, model.Width, "the width of the stones")
			continue
		}
		for _, l := range lines {
			if math.Abs(l-model.Width) < 0.5 {
				t.Errorf("a design of %.1f mm is drawn at its size on a page that does not hold it", model.Width)
			}
		}
	}
}

func near(t *testing.T, lines []float64, want float64, what string) {
	t.Helper()
	best := math.Inf(1)
	for _, l := range lines {
		best = math.Min(best, math.Abs(l-want))
	}
	if best > 0.02 {
		t.Errorf("%s, %.3f mm, is off by %.3f mm", what, want, best)
	}
}

var svgLine = regexp.MustCompile(`d="M ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+) ?"[^>]*?(?:transform="matrix\(([-\d., ]+)\)")?`)

// levelLines gives the lengths of the level lines of a page, in mm.
func levelLines(t *testing.T, svg string) []float64 {
	t.Helper()
	var out []float64
	for _, m := range svgLine.FindAllStringSubmatch(svg, -1) {
		var v [4]float64
		for i := range v {
			if _, err := fmt.Sscan(m[i+1], &v[i]); err != nil {
				t.Fatal(err)
			}
		}
		if v[1] == v[3] {
			out = append(out, math.Abs(v[2]-v[0])*25.4/72)
		}
	}
	if len(out) == 0 {
		t.Fatal("poppler draws no level lines")
	}
	return out
}

// Every word of a label stands in its cell, the first two cells of the sheet stay free.
func TestLabelsStayInTheirCells(t *testing.T) {
	const perMM = 72 / 25.4
	pages := popplerPages(t, saved(t, paper(t, "labels", wording.German, Options{})))
	if len(pages) != 2 {
		t.Fatalf("%d pages", len(pages))
	}
	used := map[int]bool{}
	for n, page := range pages {
		for _, w := range page.Words {
			in := -1
			for cell := range 21 {
				_, x, y := commonGrid.Cell(cell)
				if w.XMin >= x*perMM && w.XMax <= (x+63.5)*perMM && w.YMin >= y*perMM-1 && w.YMax <= (y+38.1)*perMM+1 {
					in = cell
				}
			}
			if in < 0 {
				t.Errorf("page %d: %q is in no cell", n+1, w.Text)
			}
			used[21*n+in] = true
		}
	}
	if len(used) != 23 || used[0] || used[1] {
		t.Errorf("the cells used are %v", used)
	}
}

// What cannot be printed is refused.
func TestPapersRefuse(t *testing.T) {
	sale := saleSample("", 2)
	sale.Total = money("1")
	small := labelSample(t, "", commonGrid)
	small.Grid.Left = 40
	broken := labelSample(t, "", commonGrid)
	broken.Labels[3].Image = []byte("no picture")
	huge := proofSample(t, "", smallInput(t))
	huge.Width = 0
	for code, err := range map[string]error{
		"paper-sum":      WriteQuote(io.Discard, ticket.Quote{Sale: sale}, Options{}),
		"paper-grid":     WriteLabels(io.Discard, small, Options{}),
		"ticket-picture": WriteLabels(io.Discard, broken, Options{}),
		"paper-empty":    WriteCustomerProof(io.Discard, huge, Options{}),
		"ticket-paper":   WritePriceList(io.Discard, priceSample(""), Options{Paper: "foolscap"}),
		"paper-long":     WriteCare(io.Discard, ticket.CareCard{Design: strings.Repeat("word ", 4000)}, Options{}),
	} {
		if fault.CodeOf(err) != code {
			t.Errorf("want %s: %v", code, err)
		}
	}
	if err := WriteBuyList(io.Discard, ticket.BuyList{}, Options{}); fault.CodeOf(err) != "paper-empty" {
		t.Errorf("an empty list: %v", err)
	}
}

func FuzzPapers(f *testing.F) {
	for _, s := range []string{"", "Łukasz", "مريم العلي", "李", "e\u0301\u0300", "\u202e turned", strings.Repeat("W", 300), "🪶\x00", "क्षि ṩ ਗ਼"} {
		f.Add(s)
	}
	picture := image.NewRGBA(image.Rect(0, 0, 20, 20))
	picture.Set(3, 3, color.White)
	f.Fuzz(func(t *testing.T, s string) {
		s = s[:min(len(s), 600)]
		who := ticket.Party{Name: s, Lines: []string{s}}
		sale := ticket.Sale{Number: s, Shop: who, Customer: who, Currency: "EUR", Lines: []ticket.SaleLine{{What: s, Detail: []string{s}, Code: s}}, Charges: []ticket.Charge{{What: s}}, Notes: []string{s}}
		labels := ticket.Labels{Grid: commonGrid, Labels: []ticket.Label{{Code: s, Design: s, Place: s, Kinds: []ticket.Brush{{Size: s, Colour: s}}}}}
		proof := ticket.CustomerProof{Design: s, Customer: who, Garment: s, Width: 20, Height: 20, Across: 20, Down: 20, Picture: picture}
		for _, err := range []error{
			WriteQuote(io.Discard, ticket.Quote{Sale: sale}, Options{}), WriteLabels(io.Discard, labels, Options{}), WriteCustomerProof(io.Discard, proof, Options{}),
		} {
			if err != nil {
				t.Errorf("%q: %v", s, err)
			}
		}
	})
}

// A number and its unit stay on one line (ISO 80000-1, 7.1.4, has them as one expression),
// wherever a line ends; where the line is too short for both, they part.
func TestNumbersKeepTheirUnits(t *testing.T) {
	p, err := newPage(wording.English, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p.style(false, 10, ink)
	const text = "Wash at most at 30 °C (86 °F), a sheet of 228.6 × 101.6 mm, 5 % more, 4 min, then 9 × 4 in."
	whole := []string{"30 °C", "(86 °F),", "228.6 × 101.6 mm,", "5 %", "4 min,", "9 × 4 in."}
	for width := 34.0; width < 120; width += 0.5 {
		lines := p.wrapped(text, width)
		if strings.Join(lines, " ") != text {
			t.Fatalf("%g mm: %q", width, lines)
		}
		for _, w := range whole {
			if !slices.ContainsFunc(lines, func(l string) bool { return strings.Contains(l, w) }) {
				t.Errorf("%g mm: %q is broken in %q", width, w, lines)
			}
		}
	}
	for _, l := range p.wrapped(text, 12) {
		if p.widthOf(l) > 12 {
			t.Errorf("%q is wider than its line", l)
		}
	}
}

// A design that the first page holds only without its head is on a page of its own, the
// last; the first has the stones and the answer, in every language.
func TestProofFillsItsFirstPage(t *testing.T) {
	in := sample(t, "Tall heron", 84.5, [][2]string{{"SS10", "light sapphire"}, {"SS6", "crystal ab"}}, []int{1, 2})
	for _, l := range wording.Languages() {
		c := proofSample(t, l, in)
		var out bytes.Buffer
		if err := WriteCustomerProof(&out, c, Options{Paper: Letter}); err != nil {
			t.Fatal(err)
		}
		pages := popplerPages(t, saved(t, out.Bytes()))
		if len(pages) != 2 {
			t.Errorf("%s: %d pages", l, len(pages))
		}
		signature := wording.In(l).Say("Signature")
		if !slices.ContainsFunc(pages[0].Words, func(w papertest.Word) bool { return w.Text == signature }) {
			t.Errorf("%s: page 1 has no line to sign", l)
		}
		for n, page := range pages {
			papertest.CheckWords(t, fmt.Sprintf("%s, page %d", l, n+1), page)
		}
	}
}
