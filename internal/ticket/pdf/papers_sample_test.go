package pdf

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/proof"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// The made-up shop and its customers.
var (
	sampleDay  = time.Date(2031, 5, 3, 0, 0, 0, 0, time.UTC)
	sampleShop = ticket.Party{Name: "Saltmarsh Sparkle", Lines: []string{"Boathouse 3, Reed Lane", "Saltmarsh", "hello@saltmarsh.example"}}
	sampleClub = ticket.Party{Name: "Saltmarsh Herons Rowing Club, Supporters’ and Friends’ Association", Lines: []string{"c/o Łukasz Nguyễn · 李明 · مريم العلي", "Weir Cottage, Saltmarsh"}}
)

func money(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func saleSample(l wording.Language, lines int) ticket.Sale {
	s := ticket.Sale{Language: l, Number: "2031-017", Shop: sampleShop, Customer: sampleClub, Date: sampleDay, Currency: "EUR"}
	for i := range lines {
		pieces, each := int64(3+i), money("7.45")
		line := ticket.SaleLine{
			What: []string{"Heron badge on a navy hoodie", "Crew name on a bag: Nguyễn", "Wine glass decal, the whole eight with their cox and the club’s motto round the rim", "مريم العلي"}[i%4],
			Code: "99E6-M3PX", Detail: []string{"228 × 228 mm", "SS10 light sapphire, SS6 crystal ab"},
			Pieces: int(pieces), Each: each, Amount: each.Mul(decimal.NewFromInt(pieces)),
		}
		s.Goods = s.Goods.Add(line.Amount)
		s.Lines = append(s.Lines, line)
	}
	s.Charges = []ticket.Charge{{What: "Twelve and more: 5 %", Amount: money("-20.00")}, {What: "Rush", Amount: money("15")}}
	s.Net = s.Goods.Add(money("-5"))
	tax := s.Net.Mul(money("0.19")).Round(2)
	s.Taxes = []ticket.Tax{{Name: "VAT", Rate: money("19"), Of: s.Net, Amount: tax}}
	s.Total = s.Net.Add(tax)
	s.Notes = []string{"Pressed onto the garments that you bring; we press a scrap first.", strings.Repeat("Colours are matched by eye. ", 6)}
	return s
}

func priceSample(l wording.Language) ticket.PriceList {
	price := func(text string) decimal.NullDecimal {
		return decimal.NullDecimal{Decimal: money(text), Valid: true}
	}
	rows := []ticket.PriceRow{
		{What: "Badge, up to 100 mm", Detail: "SS6 and SS10, two colours", Prices: []decimal.NullDecimal{price("9.50"), price("8.25"), price("7.45"), price("6.90")}},
		{What: "Jacket back with a name under an arch of oars, two lines of lettering", Prices: []decimal.NullDecimal{price("1138.00"), price("1034.50"), price("931.00"), {}}},
		{What: "Names and numbers", Detail: "a transfer for each row of your list", Prices: []decimal.NullDecimal{price("4.20"), price("3.90"), price("3.60"), price("3.25")}},
	}
	return ticket.PriceList{
		Language: l, Shop: sampleShop, Date: sampleDay, Until: sampleDay.AddDate(0, 6, 0), Currency: "EUR", Tax: ticket.TaxIn,
		Groups: []ticket.PriceGroup{{Title: "Onto your garment", Breaks: []int{1, 6, 12, 48}, Rows: rows}, {Title: "Decals", Breaks: []int{1}, Rows: []ticket.PriceRow{{What: "Window decal", Prices: []decimal.NullDecimal{price("14")}}}}},
		Notes:  []string{"Artwork of your own is welcome; we say what stones it can carry."},
	}
}

func buySample(l wording.Language) ticket.BuyList {
	blue, clear := ticket.Swatch{Hex: "#8fb4e3"}, ticket.Swatch{Hex: "#e8ecf2", AB: true}
	return ticket.BuyList{
		Language: l, Shop: sampleShop, Date: sampleDay, Currency: "EUR",
		Suppliers: []ticket.BuyFrom{
			{Name: "Reed & Co", Lines: []string{"customer 4711"}, Delivery: money("4.90"), Sum: money("34.40"), Items: []ticket.BuyItem{
				{What: "SS10 light sapphire", Look: &blue, Holds: 1440, Packs: 3, Each: money("5.90"), Amount: money("17.70"), Short: 3120, Left: 1200},
				{What: "SS6 crystal ab", Look: &clear, Pack: "by weight, art. 88-102 in the large bag with the zip", Holds: 1440, Packs: 2, Each: money("5.90"), Amount: money("11.80"), Short: 2500, Left: 380},
			}},
			{Items: []ticket.BuyItem{{What: "Template flock 304.8 × 508 mm", Packs: 10, Each: money("2.35"), Amount: money("23.50")}}, Sum: money("23.50")},
		},
		Unpriced: []ticket.BuyItem{{What: "SS16 smoked topaz", Packs: 1, Short: 640}},
		Enough:   []string{"SS6 jet", "SS10 crystal"},
		Goods:    money("53.00"), Delivery: money("4.90"), Total: money("57.90"),
	}
}

// checkered is a matrix that looks like a code; what it says is another's concern.
func checkered(n int) [][]bool {
	out := make([][]bool, n)
	for i := range out {
		out[i] = make([]bool, n)
		for j := range out[i] {
			out[i][j] = (i*7+j*13+i*j)%3 == 0
		}
	}
	return out
}

func labelSample(t testing.TB, l wording.Language, grid ticket.LabelGrid) ticket.Labels {
	tk, err := ticket.Build(badgeInput(t))
	if err != nil {
		t.Fatal(err)
	}
	out := ticket.Labels{Language: l, Grid: grid, First: 2, Outline: true}
	for i := range 23 {
		pl := tk.Plates[i%2]
		out.Labels = append(out.Labels, ticket.Label{
			Code: tk.Code, Design: []string{"Heron badge", "Saltmarsh Herons Regatta Weekend Łódź", "李明"}[i%3], Size: "228 × 228 mm", Plate: pl.Number, Plates: 2,
			Kinds: pl.Brush, Place: "Drawer 4", QR: checkered(25), Look: &pl,
		})
	}
	return out
}

func proofSample(t testing.TB, l wording.Language, in ticket.Input) ticket.CustomerProof {
	t.Helper()
	opt := proof.Options{PixelsPerMM: 4, Garment: "burgundy"}
	place, err := proof.PlaceOf(in.Document, opt)
	if err != nil {
		t.Fatal(err)
	}
	picture := pictureOf(t, in.Document, opt)
	in.Language = l
	tk, err := ticket.Build(in)
	if err != nil {
		t.Fatal(err)
	}
	return ticket.CustomerProof{
		Language: l, Shop: sampleShop, Customer: sampleClub, Date: sampleDay, Design: in.Document.Design, Code: tk.Code, Garment: "burgundy",
		Width: place.Stones.Width(), Height: place.Stones.Height(), Picture: picture,
		Across: float64(place.Width) / place.PixelsPerMM, Down: float64(place.Height) / place.PixelsPerMM,
		Inset:  [2]float64{place.Stones.MinX - place.Origin.X, place.Stones.MinY - place.Origin.Y},
		Stones: tk.Counts, Cautions: ticket.GoodsCautions(l, ticket.Any, true),
	}
}

// smallInput is a badge that a page holds at its true size.
func smallInput(t testing.TB) ticket.Input {
	return sample(t, "Small heron", 42, [][2]string{{"SS10", "light sapphire"}, {"SS6", "crystal ab"}}, []int{1, 2})
}

// commonGrid is three by seven labels on A4 (a common grid, from memory).
var commonGrid = ticket.LabelGrid{Columns: 3, Rows: 7, Width: 63.5, Height: 38.1, Left: 7.2, Top: 15.1, StepX: 66, PageWidth: 210, PageHeight: 297, CornerRadius: 2}

// write prints a paper.
type write func(w io.Writer, opt Options) error

// papers are all papers but the ticket, in a language.
func papers(t testing.TB, l wording.Language) map[string]write {
	care := func(m ticket.Material) write {
		return func(w io.Writer, opt Options) error {
			c, err := ticket.BuildCare(ticket.CareInput{Language: l, Shop: sampleShop, Design: "Heron badge", Code: "99E6-M3PX", Material: m})
			if err != nil {
				return err
			}
			return WriteCare(w, c, opt)
		}
	}
	proofOf := func(in ticket.Input) write {
		return func(w io.Writer, opt Options) error { return WriteCustomerProof(w, proofSample(t, l, in), opt) }
	}
	gang := func(change func(*ticket.GangInput)) write {
		return func(w io.Writer, opt Options) error {
			in := gangOf(l)
			change(&in)
			g, err := ticket.BuildGang(in)
			if err != nil {
				return err
			}
			return WriteGang(w, g, opt)
		}
	}
	return map[string]write{
		"gang": gang(func(*ticket.GangInput) {}),
		"gang, of a list, mirrored": gang(func(in *ticket.GangInput) {
			for i := range in.Designs {
				in.Designs[i].Transfers, in.Designs[i].Document.Mirrored = 3*i+1, true
			}
		}),
		"quote": func(w io.Writer, opt Options) error {
			return WriteQuote(w, ticket.Quote{Sale: saleSample(l, 4), Until: sampleDay.AddDate(0, 1, 0)}, opt)
		},
		"order": func(w io.Writer, opt Options) error {
			return WriteOrder(w, ticket.Order{Sale: saleSample(l, 40), Due: sampleDay.AddDate(0, 0, 20), Paid: money("50"), Payment: []string{"On collection, or to the club’s account."}}, opt)
		},
		"prices":     func(w io.Writer, opt Options) error { return WritePriceList(w, priceSample(l), opt) },
		"buy":        func(w io.Writer, opt Options) error { return WriteBuyList(w, buySample(l), opt) },
		"labels":     func(w io.Writer, opt Options) error { return WriteLabels(w, labelSample(t, l, commonGrid), opt) },
		"care":       care(ticket.Cotton),
		"care any":   care(ticket.Any),
		"proof":      proofOf(smallInput(t)),
		"proof wide": proofOf(badgeInput(t)),
		"proof huge": proofOf(crowdedInput(t)),
	}
}

func paper(t testing.TB, name string, l wording.Language, opt Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := papers(t, l)[name](&out, opt); err != nil {
		t.Fatal(fmt.Errorf("%s in %s: %w", name, l, err))
	}
	return out.Bytes()
}
