package web

import (
	"context"
	"net/http"

	"brushfall/internal/shop"
)

type changeJobIn struct {
	OfJob
	Body struct {
		Due      *string    `json:"due,omitempty" doc:"empty: none; left out: as it is"`
		Note     *string    `json:"note,omitempty"`
		Customer *int64     `json:"customer,omitempty" doc:"only while it is asked for, as lines"`
		Add      []lineBody `json:"add,omitempty" maxItems:"500"`
		Remove   []int      `json:"remove,omitempty" maxItems:"500" doc:"numbers of lines"`
		Why      string     `json:"why,omitempty" doc:"for the job's history"`
	}
}

type wasteIn struct {
	OfJob
	Body struct {
		Line      int            `json:"line,omitempty" minimum:"0" doc:"where the job has several"`
		Transfers int            `json:"transfers,omitempty" minimum:"0" doc:"stones and tape of so many"`
		Stones    []wantedStones `json:"stones,omitempty" maxItems:"100" doc:"or some stones"`
		Place     string         `json:"place,omitempty"`
		Note      string         `json:"note,omitempty"`
	}
}

func (s *Server) jobChangeRoutes() {
	shopRoute(s, http.MethodPut, "jobs/{job}", "change-job", "Change a job's day or note, and before it is promised its customer and lines", 200, jobBody{}, func(ctx context.Context, b Shop, in *changeJobIn) (jobBody, error) {
		a := shop.Amendment{Job: in.Job, Due: in.Body.Due, Note: in.Body.Note, Customer: in.Body.Customer, Remove: in.Body.Remove}
		var err error
		if a.Add, err = s.jobLines(ctx, b, in.Body.Add); err != nil {
			return jobBody{}, err
		}
		j, err := b.Amend(ctx, s.opt.Now(), a, in.Body.Why)
		return jobOf(j), err
	})
	shopRoute(s, http.MethodPost, "jobs/{job}/waste", "waste-job", "Book what was spoiled while a job was made", 200, jobBody{}, func(ctx context.Context, b Shop, in *wasteIn) (jobBody, error) {
		w := shop.Wasting{Job: in.Job, Line: in.Body.Line, Transfers: in.Body.Transfers, Place: in.Body.Place, Note: in.Body.Note}
		for _, of := range in.Body.Stones {
			kind, err := b.Find(ctx, of.Size, of.Colour)
			if err != nil {
				return jobBody{}, err
			}
			w.Stones = append(w.Stones, shop.Want{Kind: kind, Pieces: of.Pieces})
		}
		j, err := b.Waste(ctx, s.opt.Now(), w)
		return jobOf(j), err
	})
}

// jobLines reads the lines of a job; the design of a run comes into the book.
func (s *Server) jobLines(ctx context.Context, b Shop, lines []lineBody) ([]shop.Line, error) {
	var out []shop.Line
	for _, l := range lines {
		to, err := shop.FindDestination(l.Destination)
		if err != nil {
			return nil, err
		}
		if l.Run != "" {
			if l.Design, err = s.booked(ctx, b, l.Run); err != nil {
				return nil, err
			}
		}
		out = append(out, shop.Line{Design: l.Design, Quantity: l.Quantity, Destination: to, Blank: l.Blank, Template: shop.Template(l.Template)})
	}
	return out, nil
}
