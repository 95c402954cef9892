package main

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// weighed is what a count by weight tells.
type weighed struct {
	Size        string  `json:"size"`
	Colour      string  `json:"colour"`
	Pieces      int     `json:"pieces"`
	Low         int     `json:"low"`
	High        int     `json:"high"`
	Counted     int     `json:"counted"`
	Total       int     `json:"total"`
	Mass        float64 `json:"mass_g"`
	Scatter     float64 `json:"scatter"`
	Uncertainty float64 `json:"uncertainty"`
	Factor      float64 `json:"factor"`
	Blunt       bool    `json:"blunt"`
	Booked      *booked `json:"booked,omitempty"`
}

const weighHelp = `Count the stones of a jar by weight: count some out, a hundred or more, weigh
them, then weigh the rest in the jar. The answer comes with the interval that holds
the truth 95 times of 100, from how much stones differ and from the scale's step.

Several heaps tell how much your stones differ: weigh five or more of the same
kind, --sample 20:0.281 --sample 20:0.284 and so on. With fewer, stones are taken to
differ by 4 % (from memory). The formula is in docs/formats/book.md.

--keep remembers what the counted stones weighed, so that stock receive --grams goes
by your own scale; --count books the jar and the counted stones as what is there.`

func (a *app) weighCommand() *cobra.Command {
	var path, place string
	var kind kindFlags
	var samples []string
	var w shop.Weighing
	var keep, count bool
	cmd := &cobra.Command{
		Use:     "weigh --size SIZE --colour NAME --sample STONES:GRAMS --jar GRAMS --step GRAMS",
		Short:   "Count stones by weight, with a 95 % interval",
		Long:    weighHelp,
		Example: "  brushfall stock weigh --size SS10 --colour crystal --sample 100:1.42 --jar 21.35 --step 0.01\n  brushfall stock weigh --size SS10 --colour crystal --sample 100:1.42 --jar 58.75 --tare 37.40 --step 0.01 --count",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			k, err := kind.kind(cmd.Context(), path)
			if err != nil {
				return err
			}
			for _, s := range samples {
				one, err := parseSample(s)
				if err != nil {
					return err
				}
				w.Samples = append(w.Samples, one)
			}
			e, err := w.Count()
			if err != nil {
				return err
			}
			out := weighed{k.Size, k.Colour, e.Pieces, e.Low, e.High, e.Counted, e.Pieces + e.Counted, e.Mass, e.Scatter, e.Uncertainty, e.Factor, e.Blunt, nil}
			if keep || count {
				err := withNewBook(cmd.Context(), path, func(b shop.Book) error {
					d, err := office.Weighed{Kind: k, Weighing: w, Keep: keep, Count: count, Place: place}.Book(cmd.Context(), b, time.Now(), e)
					if err == nil && d != nil {
						row := bookedOf(*d)
						out.Booked = &row
					}
					return err
				})
				if err != nil {
					return err
				}
			}
			return a.say(out, func(b *bytes.Buffer) { out.text(b) })
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	kind.add(cmd)
	fs.StringArrayVar(&samples, "sample", nil, "stones counted and what they weigh, `STONES:GRAMS`; once for each heap")
	fs.Float64Var(&w.Jar, "jar", 0, "what the scale shows for the others: `GRAMS`")
	fs.Float64Var(&w.Tare, "tare", 0, "what it shows for the empty jar, where it was not set to nought: `GRAMS`")
	fs.Float64Var(&w.Step, "step", 0, "the scale's last digit: `GRAMS`, such as 0.01")
	fs.Float64Var(&w.Scatter, "scatter", 0, "how much single stones differ, a standard deviation as a `SHARE`, such as 0.04\n(default: from the samples where there are five, or 0.04)")
	fs.BoolVar(&keep, "keep", false, "remember the mass of these stones")
	fs.BoolVar(&count, "count", false, "book jar and counted stones as what is there")
	fs.StringVar(&place, "place", "", "`PLACE` of the count (default shelf)")
	a.bookFlag(fs, &path)
	return cmd
}

func parseSample(text string) (shop.Sample, error) {
	stones, grams, ok := strings.Cut(text, ":")
	n, err := strconv.Atoi(strings.TrimSpace(stones))
	g, err2 := strconv.ParseFloat(strings.TrimSpace(grams), 64)
	if !ok || err != nil || err2 != nil {
		return shop.Sample{}, fault.New("weigh-sample", "--sample", "%q is no sample; write stones and grams with a colon, such as 100:1.42", text)
	}
	return shop.Sample{Stones: n, Grams: g}, nil
}

func (o weighed) text(b *bytes.Buffer) {
	fmt.Fprintf(b, "%s %s: %s in the jar, 95 %% between %d and %d\n", o.Size, o.Colour, many(o.Pieces, "stone"), o.Low, o.High)
	fmt.Fprintf(b, "With the %d counted: %d. One weighs %.4f g; stones taken to differ by %.1f %%.\n", o.Counted, o.Total, o.Mass, o.Scatter*100)
	if o.Blunt {
		fmt.Fprintln(b, "Most of the doubt is the scale's step: count out and weigh more stones for a closer answer.")
	}
	if o.Booked != nil {
		fmt.Fprintf(b, "Booked: %d on hand at %s now\n", o.Total, o.Booked.Place)
	}
}
