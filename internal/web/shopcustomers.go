package web

import (
	"context"
	"net/http"

	"brushfall/internal/shop"
)

type customerBody struct {
	ID      int64  `json:"id,omitempty"`
	Name    string `json:"name"`
	Email   string `json:"email,omitempty"`
	Phone   string `json:"phone,omitempty"`
	Address string `json:"address,omitempty"`
	Note    string `json:"note,omitempty"`
}

// OfCustomer names a customer.
type OfCustomer struct {
	Customer int64 `path:"customer"`
}

func (s *Server) customerRoutes() {
	shopRoute(s, http.MethodGet, "customers", "customers", "Who orders, by name", 200, []customerBody{}, func(ctx context.Context, b Shop, in *struct {
		Words string `query:"words" maxLength:"200"`
	},
	) ([]customerBody, error) {
		all, err := b.Customers(ctx, in.Words)
		return list(all, customerOf), err
	})
	shopRoute(s, http.MethodGet, "customers/{customer}", "customer", "One customer, also where erased", 200, customerBody{}, func(ctx context.Context, b Shop, in *OfCustomer) (customerBody, error) {
		c, err := b.Customer(ctx, in.Customer)
		return customerOf(c), err
	})
	shopRoute(s, http.MethodPost, "customers", "add-customer", "Add a customer", 201, customerBody{}, func(ctx context.Context, b Shop, in *bodyOf[customerBody]) (customerBody, error) {
		added, err := b.AddCustomers(ctx, s.opt.Now(), []shop.Customer{in.Body.customer(0)})
		if err != nil {
			return customerBody{}, err
		}
		return customerOf(added[0]), nil
	})
	shopRoute(s, http.MethodPut, "customers/{customer}", "change-customer", "Change a customer's name, contact and note", 200, customerBody{}, func(ctx context.Context, b Shop, in *struct {
		OfCustomer
		Body customerBody
	},
	) (customerBody, error) {
		if err := b.ChangeCustomer(ctx, in.Body.customer(in.Customer)); err != nil {
			return customerBody{}, err
		}
		c, err := b.Customer(ctx, in.Customer)
		return customerOf(c), err
	})
	shopRoute(s, http.MethodDelete, "customers/{customer}", "erase-customer", "Take a customer's name and contact away for good", 200, nothing{}, func(ctx context.Context, b Shop, in *OfCustomer) (nothing, error) {
		return nothing{}, b.EraseCustomer(ctx, s.opt.Now(), in.Customer)
	})
}

func (c customerBody) customer(id int64) shop.Customer {
	return shop.Customer{ID: id, Name: c.Name, Email: c.Email, Phone: c.Phone, Address: c.Address, Note: c.Note}
}

func customerOf(c shop.Customer) customerBody {
	return customerBody{c.ID, c.Called(), c.Email, c.Phone, c.Address, c.Note}
}
