package shop

import (
	"context"
	"fmt"
	"strings"
	"time"

	"brushfall/internal/fault"
)

// Customer is who orders. Name must be there, the rest as the shop likes. Erased
// is when name and contact went, nil for one who is there.
type Customer struct {
	ID      int64
	Added   time.Time
	Erased  *time.Time
	Name    string
	Email   string
	Phone   string
	Address string
	Note    string
}

// Customers keeps who orders. Numbers are never given twice. Faults beyond those of
// Book and Customer.Check: "customer-unknown", "customer-erased".
type Customers interface {
	// AddCustomers adds all or none, and gives them with their numbers.
	AddCustomers(ctx context.Context, at time.Time, customers []Customer) ([]Customer, error)
	// ChangeCustomer puts name, contact and note in the place of those of that number.
	ChangeCustomer(ctx context.Context, c Customer) error
	// Customer gives the one of that number, also where it is erased.
	Customer(ctx context.Context, id int64) (Customer, error)
	// Customers gives those not erased whose name, contact or note hold every word, in
	// any case, by name; no words: all.
	Customers(ctx context.Context, words string) ([]Customer, error)
	// EraseCustomer takes name and contact away for good, and the notes of the customer's
	// jobs; the bytes leave the file. Jobs, stock and sums stay.
	EraseCustomer(ctx context.Context, at time.Time, id int64) error
}

// Check gives the customer with its texts made regular. Faults: "customer", "text".
func (c Customer) Check() (Customer, error) {
	for what, text := range map[string]*string{"the name": &c.Name, "the e-mail": &c.Email, "the phone": &c.Phone, "the address": &c.Address, "the note": &c.Note} {
		var err error
		if *text, err = cleanText(what, *text); err != nil {
			return c, err
		}
	}
	if c.Name == "" {
		return c, fault.New("customer", "", "give the customer's name")
	}
	if name, host, ok := strings.Cut(c.Email, "@"); c.Email != "" && (!ok || name == "" || host == "" || strings.ContainsAny(host, "@ ")) {
		return c, fault.New("customer", "", "%q is no e-mail address; write one such as crew@example.org, or none", c.Email)
	}
	return c, nil
}

// Called gives the name, or "erased customer 12".
func (c Customer) Called() string {
	if c.Erased != nil {
		return ErasedName(c.ID)
	}
	return c.Name
}

// ErasedName is what stands where the name of an erased customer stood.
func ErasedName(id int64) string { return fmt.Sprintf("erased customer %d", id) }

// Holds says whether name, contact or note hold every one of the words, in any case.
func (c Customer) Holds(words string) bool {
	text := strings.ToLower(strings.Join([]string{c.Name, c.Email, c.Phone, c.Address, c.Note}, " "))
	for _, w := range strings.Fields(strings.ToLower(words)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}
