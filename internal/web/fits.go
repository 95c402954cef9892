package web

import (
	"context"
	"net/http"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/gauge"
	"brushfall/internal/office"
)

// fitRow is a fit of the shop's own.
type fitRow struct {
	Size   string  `json:"size"`
	Flock  string  `json:"flock"`
	Cutter string  `json:"cutter"`
	Fit    float64 `json:"fit" doc:"mm"`
	Hole   float64 `json:"hole" doc:"mm: the largest stone and the fit"`
}

type fitsBody struct {
	Flock  string   `json:"flock" doc:"that a job without any means"`
	Cutter string   `json:"cutter"`
	Fits   []fitRow `json:"fits"`
}

type groupBody struct {
	Number int     `json:"number"`
	Hole   float64 `json:"hole" doc:"mm"`
	Fit    float64 `json:"fit"`
}

type putFitIn struct {
	Body struct {
		Size   string   `json:"size" example:"SS10"`
		Flock  string   `json:"flock,omitempty" maxLength:"60" doc:"left out: the shop's usual one"`
		Cutter string   `json:"cutter,omitempty" maxLength:"60"`
		Fit    *float64 `json:"fit,omitempty" doc:"mm; or group"`
		Group  int      `json:"group,omitempty" minimum:"0" doc:"number of the group of trial holes that took every stone and none twice"`
		Around float64  `json:"around,omitempty" minimum:"0" maximum:"5" doc:"of group: as the plate was made"`
		Step   float64  `json:"step,omitempty" minimum:"0" maximum:"1"`
		Steps  int      `json:"steps,omitempty" minimum:"0" maximum:"99"`
		Usual  bool     `json:"usual,omitempty" doc:"jobs without a flock and a cutter mean these from now on"`
	}
}

func (s *Server) fitRoutes() {
	route(s, http.MethodGet, "/api/fits", "fits", "The shop's own fits, by flock, cutter and size", 200, func(context.Context, *struct{}) (*bodyOf[fitsBody], error) {
		b, err := s.fits()
		return &bodyOf[fitsBody]{fitsOf(b)}, err
	})
	route(s, http.MethodPut, "/api/fits", "put-fit", "Enter what trial holes showed, or a fit", 200, s.putFit)
	route(s, http.MethodGet, "/api/papers/gauge", "gauge-groups", "The groups of a plate of trial holes", 200, func(_ context.Context, in *gaugeIn) (*bodyOf[[]groupBody], error) {
		g, err := s.gaugeJob(in)
		if err != nil {
			return nil, err
		}
		return &bodyOf[[]groupBody]{list(g.Trial.Steps, func(p gauge.Step) groupBody { return groupBody{p.Number, micrometre(p.Hole), micrometre(p.Fit)} })}, nil
	})
}

func fitsOf(b fit.Book) fitsBody {
	flock, cutter := b.Names("", "")
	return fitsBody{flock, cutter, list(b.Sorted(), func(f fit.Fit) fitRow {
		size, _ := catalogue.FindSize(f.Size) // the book has looked it up
		return fitRow{f.Size, f.Flock, f.Cutter, f.Fit, micrometre(size.Largest + f.Fit)}
	})}
}

// putFit enters a fit, as "brushfall gauge --answer" and "--fit" do.
func (s *Server) putFit(_ context.Context, in *putFitIn) (*bodyOf[fitsBody], error) {
	if s.opt.KeepFits == nil {
		return nil, fault.New("fit-file", "", "this workbench keeps no fits")
	}
	size, err := catalogue.FindSize(in.Body.Size)
	if err != nil {
		return nil, err
	}
	s.fitting.Lock()
	defer s.fitting.Unlock()
	fits, err := s.fits()
	if err != nil {
		return nil, err
	}
	ask := office.Trial{Options: gauge.Options{Size: size, Around: in.Body.Around, Step: in.Body.Step, Steps: in.Body.Steps}, Flock: in.Body.Flock, Cutter: in.Body.Cutter}
	next, _, _, err := office.TrialAnswer{Trial: ask, Group: in.Body.Group, Fit: in.Body.Fit, Usual: in.Body.Usual}.Enter(fits)
	if err != nil {
		return nil, err
	}
	return &bodyOf[fitsBody]{fitsOf(next)}, s.opt.KeepFits(next)
}
