package price

import "slices"

// Rung is a price of a list: what one piece costs, as it is shown, from so many on.
type Rung struct {
	From  int    `json:"from"`
	Price Amount `json:"price"`
	Least Amount `json:"least"`
	Cost  Amount `json:"cost"`
}

// Ladder gives the prices of a piece for quantities, each as if it were ordered
// alone; for none of them those of one and of the settings' breaks. Rising, each
// once. Faults as of For.
func (s Settings) Ladder(i Item, fees []string, quantities []int) ([]Rung, error) {
	if len(quantities) == 0 {
		quantities = []int{1}
		for _, d := range s.Breaks {
			quantities = append(quantities, d.From)
		}
	}
	quantities = slices.Clone(quantities)
	slices.Sort(quantities)
	var out []Rung
	for _, n := range slices.Compact(quantities) {
		i.Quantity = n
		q, err := s.For(Order{Items: []Item{i}, Fees: fees})
		if err != nil {
			return nil, err
		}
		o := q.Offers[0]
		out = append(out, Rung{From: n, Price: o.Price, Least: o.Least, Cost: o.Cost.Total})
	}
	return out, nil
}
