package catalogue

import (
	_ "embed"
	"sync"
)

// The classes of goods beside the stones.
const (
	Flock = "flock" // sheets that templates are cut from
	Tape  = "tape"  // application tape, in sheets
	Film  = "film"  // decal film, in sheets
	Blank = "blank" // what transfers are pressed on
)

// Classes gives the classes of goods in their order.
func Classes() []string { return []string{Flock, Tape, Film, Blank} }

// Goods are a material or a blank. Width and Height are mm: the sides of a sheet, or
// the printable box of a blank.
type Goods struct {
	Class, Name   string
	Width, Height float64
	Source        string
}

//go:embed goods.csv
var goodsCSV []byte

var loadGoods = sync.OnceValue(func() []Goods {
	var out []Goods
	for _, r := range rows(goodsCSV) {
		out = append(out, Goods{Class: r[0], Name: r[1], Width: number(r[2]), Height: number(r[3]), Source: r[4]})
	}
	return out
})

// AllGoods gives every row, the first of a class being its usual one.
func AllGoods() []Goods { return append([]Goods(nil), loadGoods()...) }
