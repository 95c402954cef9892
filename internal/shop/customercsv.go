package shop

import "io"

// customerColumns are the columns of customers.csv; docs/formats/jobs.md explains
// them.
func customerColumns() []string { return []string{"name", "email", "phone", "address", "note"} }

// ReadCustomers reads customers.csv: a head with the columns in any order, of which
// name must be there, and a customer a row. It reads on after a bad row, as ReadStock.
func ReadCustomers(r io.Reader) (good []Customer, bad []error, err error) {
	bad, err = readTable(r, customerColumns(), 1, func(_ int, value func(string) string) error {
		c, err := Customer{Name: value("name"), Email: value("email"), Phone: value("phone"), Address: value("address"), Note: value("note")}.Check()
		if err == nil {
			good = append(good, c)
		}
		return err
	})
	return good, bad, err
}

// WriteCustomers writes customers.csv, as RFC 4180 has it (CRLF line ends); read
// again it gives the same names and contacts. Fault "csv-write" where w does not take
// the bytes.
func WriteCustomers(w io.Writer, customers []Customer) error {
	rows := [][]string{customerColumns()}
	for _, c := range customers {
		if c.Erased == nil {
			rows = append(rows, []string{c.Name, c.Email, c.Phone, c.Address, c.Note})
		}
	}
	return writeTable(w, rows)
}
