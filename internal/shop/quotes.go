package shop

import (
	"context"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/price"
)

// Answer is what became of a quote.
type Answer string

// The answers. A quote is given to the customer, and taken or turned down; one that
// is neither lapses after its last day.
const (
	Given      Answer = "given"
	Taken      Answer = "taken"
	TurnedDown Answer = "turned down"
	Lapsed     Answer = "lapsed"
)

// Basis is what a quote was made with: whoever reckons with it gets the same quote,
// whatever was set since. Designs are the numbers of the designs of the order's items,
// in their order.
type Basis struct {
	Order    price.Order            `json:"order"`
	Designs  []int64                `json:"designs"`
	Settings map[string]price.Value `json:"settings"`
}

// Reckon gives the quote.
func (m Basis) Reckon() (price.Quote, price.Settings, error) {
	s, err := price.Read(m.Settings)
	if err != nil {
		return price.Quote{}, s, err
	}
	q, err := s.For(m.Order)
	return q, s, err
}

// Quote is an offer to a customer, or, with Customer 0, to nobody yet. Day is the day
// it is of, Until the last on which it holds, both as "2026-12-24". Total is what the
// customer pays. Job is what it became, 0 for none.
type Quote struct {
	Number   int64
	At       time.Time
	Day      string
	Until    string
	Customer int64
	Called   string // the customer's name now, or "erased customer 12"
	Note     string
	Answer   Answer // Given, Taken or TurnedDown
	Job      int64
	Total    Money
	Basis    Basis
}

// On gives the answer as of a day: one that was only given has lapsed after its last.
func (q Quote) On(day string) Answer {
	if q.Answer == Given && day > q.Until {
		return Lapsed
	}
	return q.Answer
}

// Quotes keeps what was offered. Faults beyond those of Book and Quote.Check:
// "quote-unknown", "quote-answered" (it has its answer already), "customer-unknown",
// "customer-erased", "design-unknown".
type Quotes interface {
	// AddQuote keeps a quote as given, and gives it with its number. fresh are the
	// designs of its lines that are not in the book, whose number is 0, in their order:
	// they come into it. The quote before, 0 for none, is turned down: this one takes
	// its place.
	AddQuote(ctx context.Context, at time.Time, q Quote, fresh []Design, before int64) (Quote, error)
	// Quote gives the one of that number.
	Quote(ctx context.Context, number int64) (Quote, error)
	// Quotes gives all, the newest first, without what they were made with.
	Quotes(ctx context.Context) ([]Quote, error)
	// TakeQuote says yes: the quote is taken, and a job is asked for with its lines.
	TakeQuote(ctx context.Context, at time.Time, number int64, due string) (Quote, Job, error)
	// TurnDownQuote says no.
	TurnDownQuote(ctx context.Context, number int64) (Quote, error)
}

// Check gives the quote with its texts made regular and its total reckoned. Faults:
// "quote", "text", those of package price.
func (q Quote) Check() (Quote, error) {
	var err error
	if q.Note, err = cleanText("the note", q.Note); err != nil {
		return q, err
	}
	for _, day := range []string{q.Day, q.Until} {
		if _, err := time.Parse(time.DateOnly, day); err != nil {
			return q, fault.New("quote", "", "%q is no day; write it as 2026-12-24", day)
		}
	}
	if q.Until < q.Day {
		return q, fault.New("quote", "", "a quote of %s cannot hold until %s; give a later day", q.Day, q.Until)
	}
	if len(q.Basis.Designs) != len(q.Basis.Order.Items) {
		return q, fault.New("quote", "", "%d designs for %d lines cannot be", len(q.Basis.Designs), len(q.Basis.Order.Items))
	}
	made, _, err := q.Basis.Reckon()
	if err != nil {
		return q, err
	}
	q.Total, q.Answer = made.Sale.Total, Given
	return q, nil
}

// CheckDesigns gives new designs with their texts made regular. Faults: "quote" where
// there are not as many as numbers that are 0, those of Design.Check.
func CheckDesigns(numbers []int64, fresh []Design) ([]Design, error) {
	wanted := 0
	for _, n := range numbers {
		if n == 0 {
			wanted++
		}
	}
	if wanted != len(fresh) {
		return nil, fault.New("quote", "", "%d new designs for %d lines cannot be", len(fresh), wanted)
	}
	out := make([]Design, len(fresh))
	for i, d := range fresh {
		var err error
		if out[i], err = d.Check(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// AsJob gives the job that a quote asks for when it is taken. Transfers that are sold on
// their tape are lines for a garment, which the customer presses.
func (q Quote) AsJob(due string) Job {
	j := Job{Customer: q.Customer, Due: due, Note: q.Note}
	for i, item := range q.Basis.Order.Items {
		l := Line{Design: q.Basis.Designs[i], Quantity: item.Quantity, Destination: Destination(item.For), Blank: item.Blank.Name}
		if item.For == price.ForTransfer {
			l.Destination = ToGarment
		}
		j.Lines = append(j.Lines, l)
	}
	return j
}
