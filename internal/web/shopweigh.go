package web

import (
	"context"

	"brushfall/internal/office"
	"brushfall/internal/shop"
)

type sampleBody struct {
	Stones int     `json:"stones" minimum:"1"`
	Grams  float64 `json:"grams" doc:"what they weigh together"`
}

type weighIn struct {
	Body struct {
		Size    string       `json:"size" example:"SS10"`
		Colour  string       `json:"colour" example:"crystal"`
		Samples []sampleBody `json:"samples" minItems:"1" maxItems:"100" doc:"heaps of stones that were counted"`
		Jar     float64      `json:"jar" doc:"what the scale shows for the others, grams"`
		Tare    float64      `json:"tare,omitempty" doc:"what it shows for the empty jar, where it was not set to nought"`
		Step    float64      `json:"step" doc:"the scale's last digit, grams" example:"0.01"`
		Scatter float64      `json:"scatter,omitempty" doc:"how much single stones differ, a standard deviation as a share; 0: from five samples or more, else 0.04"`
		Keep    bool         `json:"keep,omitempty" doc:"remember the mass of these stones"`
		Count   bool         `json:"count,omitempty" doc:"book jar and counted stones as what is there"`
		Place   string       `json:"place,omitempty" doc:"of the count"`
	}
}

// weighedBody is what "brushfall stock weigh --json" prints.
type weighedBody struct {
	Size        string    `json:"size"`
	Colour      string    `json:"colour"`
	Pieces      int       `json:"pieces" doc:"in the jar"`
	Low         int       `json:"low" doc:"of the interval that holds the truth 95 times of 100"`
	High        int       `json:"high"`
	Counted     int       `json:"counted"`
	Total       int       `json:"total" doc:"jar and counted stones"`
	Mass        float64   `json:"mass_g" doc:"of one"`
	Scatter     float64   `json:"scatter"`
	Uncertainty float64   `json:"uncertainty" doc:"standard uncertainty, pieces"`
	Factor      float64   `json:"factor"`
	Blunt       bool      `json:"blunt" doc:"most of the doubt is the scale's step"`
	Booked      *deedBody `json:"booked,omitempty"`
}

// weigh counts by weight, and books it where that is asked for.
func (s *Server) weigh(ctx context.Context, b Shop, in *weighIn) (weighedBody, error) {
	ask := in.Body
	kind, err := b.Find(ctx, ask.Size, ask.Colour)
	if err != nil {
		return weighedBody{}, err
	}
	w := shop.Weighing{Jar: ask.Jar, Tare: ask.Tare, Step: ask.Step, Scatter: ask.Scatter}
	for _, o := range ask.Samples {
		w.Samples = append(w.Samples, shop.Sample{Stones: o.Stones, Grams: o.Grams})
	}
	e, err := w.Count()
	if err != nil {
		return weighedBody{}, err
	}
	out := weighedBody{kind.Size, kind.Colour, e.Pieces, e.Low, e.High, e.Counted, e.Pieces + e.Counted, e.Mass, e.Scatter, e.Uncertainty, e.Factor, e.Blunt, nil}
	d, err := office.Weighed{Kind: kind, Weighing: w, Keep: ask.Keep, Count: ask.Count, Place: ask.Place}.Book(ctx, b, s.opt.Now(), e)
	if err == nil && d != nil {
		row := deedOf(*d)
		out.Booked = &row
	}
	return out, err
}
