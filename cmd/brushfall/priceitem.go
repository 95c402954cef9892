package main

import (
	"regexp"
	"strconv"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/price"
	"brushfall/internal/shop"
)

// itemForm is a design to be priced: a folder or layout.json, and as one likes
// =NUMBER, :WHAT FOR and :BLANK.
var itemForm = regexp.MustCompile(`^(.+?)(?:=(\d{1,6}))?(?::(transfer|decal|garment|bag|bow|disc)(?::(.+))?)?$`)

// itemHelp explains the form.
const itemHelp = `A design is the folder that brushfall make wrote, or its layout.json, then as you like
=NUMBER of pieces, :WHAT they are for (transfer, the default, sold on its tape; decal,
pressed onto film; garment, bag, bow or disc, pressed onto it), and :BLANK, the name of what
of yours they are pressed onto; without one it is the customer's own.`

// parseItem reads one, with its layout.
func parseItem(arg string) (office.Line, error) {
	l := office.Line{Where: arg, Quantity: 1, For: price.ForTransfer}
	if !exists(arg) {
		m := itemForm.FindStringSubmatch(arg)
		if m == nil {
			return l, fault.New("usage", "", "name a design")
		}
		l.Where, l.Blank = m[1], strings.TrimSpace(m[4])
		if m[2] != "" {
			l.Quantity, _ = strconv.Atoi(m[2]) // at most six digits
		}
		if m[3] != "" {
			l.For = m[3]
		}
	}
	var err error
	l.Made, err = readMade(l.Where)
	return l, err
}

// blankCosts reads what blanks cost, "NAME=COST".
func blankCosts(blanks []string) (map[string]shop.Money, error) {
	out := map[string]shop.Money{}
	for _, text := range blanks {
		name, cost, ok := strings.Cut(text, "=")
		amount, err := shop.ParseMoney(cost)
		if !ok || err != nil || strings.TrimSpace(name) == "" {
			return nil, fault.New("usage", "--blank", "%q is no blank; write its name and what one costs, such as \"disc 3 in=1.40\"", text)
		}
		out[name] = amount
	}
	return out, nil
}
