package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Customers = (*Book)(nil)

// AddCustomers implements shop.Customers.
func (b *Book) AddCustomers(ctx context.Context, at time.Time, customers []shop.Customer) ([]shop.Customer, error) {
	out := slices.Clone(customers)
	err := b.within(ctx, func(tx *sql.Tx) error {
		for i := range out {
			c, err := out[i].Check()
			if err != nil {
				return err
			}
			c.Added, c.Erased = moment(at), nil
			res, err := tx.ExecContext(ctx, `INSERT INTO customers (added, name, email, phone, address, note) VALUES (?, ?, ?, ?, ?, ?)`,
				stamp(c.Added), c.Name, c.Email, c.Phone, c.Address, c.Note)
			if err != nil {
				return err
			}
			if c.ID, err = res.LastInsertId(); err != nil {
				return err
			}
			out[i] = c
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// ChangeCustomer implements shop.Customers.
func (b *Book) ChangeCustomer(ctx context.Context, c shop.Customer) error {
	c, err := c.Check()
	if err != nil {
		return err
	}
	return b.within(ctx, func(tx *sql.Tx) error {
		if err := standing(ctx, tx, c.ID); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `UPDATE customers SET name = ?, email = ?, phone = ?, address = ?, note = ? WHERE id = ?`,
			c.Name, c.Email, c.Phone, c.Address, c.Note, c.ID)
		return err
	})
}

// standing refuses a customer who is not there, or not any more.
func standing(ctx context.Context, in asker, id int64) error {
	var erased bool
	err := in.QueryRowContext(ctx, `SELECT erased IS NOT NULL FROM customers WHERE id = ?`, id).Scan(&erased)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return fault.New("customer-unknown", "", "there is no customer %d; brushfall customer list has their numbers", id).
			OnPage("there is no customer %d; Customers has them all", id)
	case err == nil && erased:
		return fault.New("customer-erased", "", "customer %d was erased; add the customer anew", id)
	}
	return err
}

// Customer implements shop.Customers.
func (b *Book) Customer(ctx context.Context, id int64) (shop.Customer, error) {
	all, err := b.customers(ctx, `WHERE id = ?`, id)
	if err == nil && len(all) == 0 {
		err = fault.New("customer-unknown", "", "there is no customer %d; brushfall customer list has their numbers", id).
			OnPage("there is no customer %d; Customers has them all", id)
	}
	if err != nil {
		return shop.Customer{}, err
	}
	return all[0], nil
}

// Customers implements shop.Customers.
func (b *Book) Customers(ctx context.Context, words string) ([]shop.Customer, error) {
	all, err := b.customers(ctx, `WHERE erased IS NULL`)
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(c shop.Customer) bool { return !c.Holds(words) })
	slices.SortStableFunc(all, func(a, b shop.Customer) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.ID, b.ID))
	})
	return all, nil
}

func (b *Book) customers(ctx context.Context, where string, args ...any) ([]shop.Customer, error) {
	out := []shop.Customer{}
	err := b.each(ctx, `SELECT id, added, erased, name, email, phone, address, note FROM customers `+where+` ORDER BY id`, args, func(scan func(...any) error) error {
		var c shop.Customer
		var added string
		var erased sql.NullString
		if err := scan(&c.ID, &added, &erased, &c.Name, &c.Email, &c.Phone, &c.Address, &c.Note); err != nil {
			return err
		}
		var err error
		if c.Added, err = time.Parse(time.RFC3339, added); err != nil {
			return damaged(b.path, err)
		}
		if erased.Valid {
			at, err := time.Parse(time.RFC3339, erased.String)
			if err != nil {
				return damaged(b.path, err)
			}
			c.Erased = &at
		}
		out = append(out, c)
		return nil
	})
	return out, err
}
