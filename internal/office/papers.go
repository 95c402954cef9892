package office

import (
	"context"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/price"
	"brushfall/internal/shop"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

// Print says how a paper is printed. An empty Paper is A4; an empty Language and an
// empty Shop are those of the settings, or of a paper without settings English and
// nobody. Shop is a name with lines to stand below it, with semicolons between.
type Print struct {
	Paper    job.Paper
	Language wording.Language
	Shop     string
}

// Options gives what the writer of a paper needs.
func (p Print) Options() pdf.Options {
	if p.Paper == "" {
		p.Paper = job.A4
	}
	return pdf.Options{Paper: pdf.Paper(p.Paper)}
}

// Spoken gives the language of a paper that has no settings.
func (p Print) Spoken() wording.Language {
	if p.Language == "" {
		return wording.English
	}
	return p.Language
}

// over gives settings with what was said for the paper. Fault "price-unset".
func (p Print) over(s price.Settings) (price.Settings, error) {
	if p.Language != "" {
		s.Language = p.Language
	}
	if p.Shop != "" {
		s.Shop = p.Shop
	}
	if s.Currency == "" {
		return s, fault.New("price-unset", "currency", "papers need it: brushfall price set currency=EUR, and for a quote that was made before --with currency=EUR").
			OnPage("papers need it; say it under Prices, and make a quote that was made before anew")
	}
	return s, nil
}

// Party reads "Name; line; line".
func Party(text string) ticket.Party {
	var out ticket.Party
	for i, part := range strings.Split(text, ";") {
		part = strings.TrimSpace(part)
		switch {
		case i == 0:
			out.Name = part
		case part != "":
			out.Lines = append(out.Lines, part)
		}
	}
	return out
}

// ParseDay reads "2031-05-03". Fault "date".
func ParseDay(text string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(text))
	if err != nil {
		return time.Time{}, fault.New("date", "", "%q is no day; write it as 2031-05-03", text)
	}
	return day, nil
}

// PrintQuote writes a quote of the book for its customer. What it costs and what is
// earned is not on it.
func PrintQuote(ctx context.Context, w io.Writer, b Book, number int64, p Print) error {
	q, sale, err := saleOf(ctx, b, number, p)
	if err != nil {
		return err
	}
	until, _ := time.Parse(time.DateOnly, q.Until) // the book has days alone
	return pdf.WriteQuote(w, ticket.Quote{Sale: sale, Until: until}, p.Options())
}

// PrintOrder writes the order sheet of a quote that is taken, with what was paid already.
func PrintOrder(ctx context.Context, w io.Writer, b Book, number int64, paid shop.Money, p Print) error {
	q, sale, err := saleOf(ctx, b, number, p)
	if err != nil {
		return err
	}
	if q.Job == 0 {
		return fault.New("quote-answered", "--order", "quote %d is not taken yet; brushfall quote take %d", number, number).
			OnPage("quote %d is not taken yet; accept it first", number)
	}
	j, err := b.Job(ctx, q.Job)
	if err != nil {
		return err
	}
	due, _ := time.Parse(time.DateOnly, j.Due) // none leaves a line to fill in
	return pdf.WriteOrder(w, ticket.Order{Sale: sale, Due: due, Paid: paid}, p.Options())
}

// saleOf gives what the customer sees of a quote of the book.
func saleOf(ctx context.Context, b Book, number int64, p Print) (shop.Quote, ticket.Sale, error) {
	q, err := b.Quote(ctx, number)
	if err != nil {
		return q, ticket.Sale{}, err
	}
	made, s, err := q.Basis.Reckon()
	if err != nil {
		return q, ticket.Sale{}, err
	}
	if s, err = p.over(s); err != nil {
		return q, ticket.Sale{}, err
	}
	sale, err := soldAs(q, made, s)
	if err != nil {
		return q, sale, err
	}
	if err := sized(ctx, b, q, &sale); err != nil {
		return q, sale, err
	}
	sale.Customer, err = customerParty(ctx, b, q.Customer)
	return q, sale, err
}

// soldAs makes the paper's model of a quote as it was reckoned.
func soldAs(q shop.Quote, made price.Quote, s price.Settings) (ticket.Sale, error) {
	v := wording.In(s.Language)
	day, err := time.Parse(time.DateOnly, q.Day)
	if err != nil {
		return ticket.Sale{}, fault.Wrap("book", err)
	}
	out := ticket.Sale{
		Language: s.Language, Number: strconv.FormatInt(q.Number, 10), Shop: Party(s.Shop), Date: day, Currency: s.Currency,
		TaxIncluded: s.Tax.Contained, Net: made.Shown, Total: made.Sale.Total,
	}
	for _, o := range made.Offers {
		out.Lines = append(out.Lines, ticket.SaleLine{What: o.Design, Detail: []string{destined(v, o)}, Pieces: o.Quantity, Each: o.Price, Amount: o.Amount})
		out.Goods = out.Goods.Add(o.Amount)
	}
	if !made.Rush.IsZero() {
		out.Charges = append(out.Charges, ticket.Charge{What: v.Say("Rush"), Amount: made.Rush})
	}
	for _, e := range made.Extras {
		out.Charges = append(out.Charges, ticket.Charge{What: e.What, Amount: e.Amount})
	}
	for _, l := range made.Sale.Taxes {
		out.Taxes = append(out.Taxes, ticket.Tax{Name: l.Name, Rate: l.Share.Mul(decimal.NewFromInt(100)), Of: made.Sale.Goods, Amount: l.Amount})
	}
	return out, nil
}

// sized adds the sides of the designs, where the book knows them.
func sized(ctx context.Context, b Book, q shop.Quote, sale *ticket.Sale) error {
	v := wording.In(sale.Language)
	for i := range sale.Lines {
		d, err := b.Design(ctx, q.Basis.Designs[i])
		if err != nil {
			return err
		}
		if d.Width > 0 && d.Height > 0 {
			sale.Lines[i].Detail = append(sale.Lines[i].Detail, v.Area(d.Width, d.Height))
		}
	}
	return nil
}

// customerParty gives a customer as a paper names it; 0: nobody.
func customerParty(ctx context.Context, b Book, id int64) (ticket.Party, error) {
	if id == 0 {
		return ticket.Party{}, nil
	}
	c, err := b.Customer(ctx, id)
	if err != nil {
		return ticket.Party{}, err
	}
	out := ticket.Party{Name: c.Called()}
	for _, line := range []string{c.Address, c.Email, c.Phone} {
		if line != "" {
			out.Lines = append(out.Lines, line)
		}
	}
	return out, nil
}

// destined says in the customer's words what the pieces of an offer are.
func destined(v wording.Voice, o price.Offer) string {
	switch {
	case o.Blank != "":
		return v.Say("on %s", o.Blank)
	case o.For == price.ForTransfer:
		return v.Say("transfer on its tape, ready to press")
	case o.For == price.ForDecal:
		return v.Say("decal, ready to stick")
	}
	return v.Say("on what you bring")
}

// PriceListPaper is what a printed price list says beside the prices. A zero Until is
// not printed.
type PriceListPaper struct {
	Day, Until time.Time
	Notes      []string
}

// PrintPriceList writes the price list of the book. Fault "price-list" where nothing is
// on it.
func PrintPriceList(ctx context.Context, w io.Writer, b Book, paper PriceListPaper, p Print) error {
	pricing, err := NewPricing(ctx, b, nil)
	if err != nil {
		return err
	}
	s, err := p.over(pricing.Settings)
	if err != nil {
		return err
	}
	list, err := b.PriceList(ctx)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return fault.New("price-list", "", "there is no price on the list; brushfall price list DESIGN --keep puts some there").
			OnPage("there is no price on the list; make prices of a design and put them on it")
	}
	out := priceListOf(list, s)
	out.Date, out.Until, out.Notes = paper.Day, paper.Until, paper.Notes
	return pdf.WritePriceList(w, out, p.Options())
}

// priceListOf gives the list as a paper has it: a table for all that the same number of
// pieces makes cheaper, a row for each design and what it is for.
func priceListOf(list []shop.Listed, s price.Settings) ticket.PriceList {
	v := wording.In(s.Language)
	out := ticket.PriceList{Language: s.Language, Shop: Party(s.Shop), Currency: s.Currency}
	if len(s.Tax.Levies) > 0 {
		out.Tax = ticket.TaxOn
		if s.Tax.Contained {
			out.Tax = ticket.TaxIn
		}
	}
	for len(list) > 0 {
		first := list[0]
		row := ticket.PriceRow{What: first.Design, Detail: destined(v, price.Offer{For: first.For, Blank: blankOf(first.For)})}
		var breaks []int
		for len(list) > 0 && list[0].Design == first.Design && list[0].For == first.For {
			breaks = append(breaks, list[0].From)
			row.Prices = append(row.Prices, decimal.NewNullDecimal(list[0].Price))
			list = list[1:]
		}
		at := slices.IndexFunc(out.Groups, func(g ticket.PriceGroup) bool { return slices.Equal(g.Breaks, breaks) })
		if at < 0 {
			at = len(out.Groups)
			out.Groups = append(out.Groups, ticket.PriceGroup{Breaks: breaks})
		}
		out.Groups[at].Rows = append(out.Groups[at].Rows, row)
	}
	return out
}

// blankOf gives the blank that a price is for, none where it is for a destination alone.
func blankOf(what string) string {
	if _, err := shop.FindDestination(what); err == nil || what == price.ForTransfer {
		return ""
	}
	return what
}
