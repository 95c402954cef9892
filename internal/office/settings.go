package office

import (
	"cmp"
	"context"
	"slices"
	"time"

	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// SettingRow is a setting of prices as it stands. Value is nil where it must be set and
// is not.
type SettingRow struct {
	Name   string  `json:"name"`
	Value  *string `json:"value"`
	Unit   string  `json:"unit,omitempty"`
	Source string  `json:"source"`
	About  string  `json:"about"`
}

// SettingRows gives every setting, in the order of docs/pricing.md.
func SettingRows(s price.Settings) []SettingRow {
	rows := []SettingRow{}
	for _, d := range price.List() {
		r := SettingRow{Name: d.Name, Unit: d.Unit, About: d.About, Source: string(price.Unset)}
		if v, ok := s.Given[d.Name]; ok {
			r.Value, r.Source = &v.Text, string(v.Source)
		}
		rows = append(rows, r)
	}
	return rows
}

// SetRates keeps changes and timings that fit those that hold already, all or none, by
// their names. Faults: those of shop.Rate.Check and price.Read.
func SetRates(ctx context.Context, b shop.Prices, at time.Time, rates []shop.Rate) error {
	rates = slices.Clone(rates)
	slices.SortStableFunc(rates, func(a, b shop.Rate) int { return cmp.Compare(a.Name, b.Name) })
	for i, r := range rates {
		var err error
		if rates[i], err = r.Check(); err != nil {
			return err
		}
	}
	before, err := b.Rates(ctx)
	if err != nil {
		return err
	}
	if _, err := price.Read(shop.InForce(slices.Concat(before, rates))); err != nil {
		return err
	}
	return b.SetRates(ctx, at, rates)
}
