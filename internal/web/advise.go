package web

import (
	"context"
	"encoding/json"
	"net/http"

	"brushfall/internal/advise"
	"brushfall/internal/catalogue"
	"brushfall/internal/job"
)

func (s *Server) adviseRoutes() {
	route(s, http.MethodPost, "/api/advise", "advise", "What stones suit a design at its width, by trial layouts", 200, s.advise)
}

type adviseIn struct {
	Body struct {
		Design string          `json:"design" doc:"id of the design"`
		Job    json.RawMessage `json:"job,omitempty" doc:"a job that is not saved; the design's own if left out"`
		Sizes  []string        `json:"sizes,omitempty" maxItems:"20" doc:"sizes to ask about; the everyday ones if left out"`
	}
}

// advice is the report of the command of that name.
type advice struct {
	advise.Report
	Warnings []remark `json:"warnings"`
}

func (s *Server) advise(ctx context.Context, in *adviseIn) (*bodyOf[advice], error) {
	d, err := s.opt.Bench.Design(in.Body.Design)
	if err != nil {
		return nil, err
	}
	object := d.Job
	if len(in.Body.Job) > 0 {
		object = in.Body.Job
	}
	j, err := s.job(ctx, object, d.Files)
	if err != nil {
		return nil, err
	}
	sizes := advise.Everyday()
	if len(in.Body.Sizes) > 0 {
		sizes = nil
	}
	for _, name := range in.Body.Sizes {
		size, err := catalogue.FindSize(name)
		if err != nil {
			return nil, err
		}
		sizes = append(sizes, size)
	}
	r, warnings, err := job.Advise(ctx, single(j), sizes, nil)
	if err != nil {
		return nil, err
	}
	out := advice{r, []remark{}}
	for _, w := range warnings {
		out.Warnings = append(out.Warnings, remark{Code: w.Code, Where: w.Where, Message: w.Message})
	}
	return &bodyOf[advice]{out}, nil
}
