package price

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"testing"
)

var update = flag.Bool("update-before", false, "write the quotes of before anew: only where results are meant to change")

// before is a quote as a book keeps it, with what came of it: written by the program
// that knew one tax and one rate of pay.
type before struct {
	Order    Order            `json:"order"`
	Settings map[string]Value `json:"settings"`
	Quote    map[string]any   `json:"quote"`
}

func generic(t *testing.T, v any) map[string]any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// Quotes that were made before there were several taxes and rates come out as they did, to
// the last decimal and word: everything that was told then is told now.
func TestQuotesOfBeforeStay(t *testing.T) {
	const path = "testdata/before.json"
	if *update {
		var all []before
		for _, tax := range []string{"0% added", "20% contained", "7.25% added", "19%"} {
			s := shop(t, "tax", tax, "wage", "25", "breaks", "12:5%, 50:10%")
			value := dec(t, "3.3333")
			listed := dec(t, "14.50")
			o := Order{
				Items: []Item{
					{Piece: badge(t), Quantity: 12, For: "disc", Blank: disc(t)},
					{Piece: badge(t), Quantity: 50, For: ForDecal, FromShelf: true, Value: &value},
					{Piece: badge(t), Quantity: 1, For: ForTransfer, Price: &listed},
				},
				Extras: []Extra{{"Delivery", dec(t, "4.90")}}, Fees: []string{"card"}, Rush: true,
			}
			q, err := s.For(o)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, before{o, s.Given, generic(t, q)})
		}
		text, err := json.MarshalIndent(all, "", " ")
		if err == nil {
			err = os.WriteFile(path, append(text, '\n'), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var all []before
	d := json.NewDecoder(bytes.NewReader(text))
	if err := d.Decode(&all); err != nil || len(all) != 4 {
		t.Fatal(len(all), err)
	}
	for _, b := range all {
		s, err := Read(b.Settings)
		if err != nil {
			t.Fatal(err)
		}
		q, err := s.For(b.Order)
		if err != nil {
			t.Fatal(err)
		}
		got := generic(t, q)
		delete(got["sale"].(map[string]any), "taxes") // new since
		if !reflect.DeepEqual(got, b.Quote) {
			t.Errorf("with %s:\n%v\nwant\n%v", b.Settings["tax"].Text, got, b.Quote)
		}
	}
}
