package web

import (
	"context"
	"net/http"
	"slices"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

type lineBody struct {
	Number      int    `json:"number,omitempty"`
	Design      int64  `json:"design,omitempty" doc:"number of the design in the book"`
	Run         string `json:"run,omitempty" doc:"instead: a run of the workbench, whose design comes into the book"`
	Name        string `json:"name,omitempty"`
	Quantity    int    `json:"quantity"`
	Destination string `json:"destination" enum:"garment,bag,bow,disc,decal,shelf"`
	Blank       string `json:"blank,omitempty"`
	Template    string `json:"template,omitempty" enum:"as needed,anew,there"`
	Shelf       int    `json:"shelf,omitempty" doc:"from the shelf, by the promise"`
	Made        int    `json:"made,omitempty"`
	Handed      bool   `json:"handed_over,omitempty" doc:"before the rest of the job"`
}

type jobBody struct {
	ID       int64      `json:"id,omitempty"`
	Customer int64      `json:"customer,omitempty" doc:"0: for the shop itself"`
	Called   string     `json:"called,omitempty"`
	State    string     `json:"state,omitempty" enum:"asked,promised,made,handed over,dropped"`
	Due      string     `json:"due,omitempty" example:"2026-12-24"`
	Note     string     `json:"note,omitempty"`
	Partly   bool       `json:"partly_handed_over,omitempty" doc:"some of it, and someone waits for the rest"`
	Lines    []lineBody `json:"lines"`
}

type stepBody struct {
	At        string `json:"at"`
	What      string `json:"what"`
	State     string `json:"state"`
	Line      int    `json:"line,omitempty"`
	Transfers int    `json:"transfers,omitempty"`
	Drawn     int    `json:"from_shelf,omitempty"`
	Cost      string `json:"cost,omitempty"`
	Note      string `json:"note,omitempty"`
	Set       string `json:"template,omitempty" doc:"code of the template that they were brushed with"`
}

type shortageBody struct {
	Size     string  `json:"size"`
	Colour   string  `json:"colour"`
	OnHand   int     `json:"on_hand"`
	Reserved int     `json:"reserved"`
	Short    int     `json:"short"`
	Jobs     []int64 `json:"jobs"`
}

// OfJob names a job.
type OfJob struct {
	Job int64 `path:"job"`
}

func (s *Server) jobRoutes() {
	shopRoute(s, http.MethodGet, "jobs", "jobs", "What was ordered, by the day it is due", 200, []jobBody{}, func(ctx context.Context, b Shop, in *struct {
		State    string `query:"state" enum:"asked,promised,made,handed over,dropped"`
		Customer int64  `query:"customer"`
	},
	) ([]jobBody, error) {
		which := shop.Which{Customer: in.Customer}
		if in.State != "" {
			which.States = []shop.State{shop.State(in.State)}
		}
		all, err := b.Jobs(ctx, which)
		return list(all, jobOf), err
	})
	shopRoute(s, http.MethodGet, "jobs/{job}", "job", "One job", 200, jobBody{}, func(ctx context.Context, b Shop, in *OfJob) (jobBody, error) {
		j, err := b.Job(ctx, in.Job)
		return jobOf(j), err
	})
	shopRoute(s, http.MethodGet, "jobs/{job}/steps", "job-steps", "What was done with a job", 200, []stepBody{}, func(ctx context.Context, b Shop, in *OfJob) ([]stepBody, error) {
		all, err := b.Steps(ctx, in.Job)
		return list(all, func(p shop.Step) stepBody {
			return stepBody{moment(p.At), p.What, string(p.State), p.Line, p.Transfers, p.Drawn, money(p.Cost), p.Note, p.Template}
		}), err
	})
	shopRoute(s, http.MethodPost, "jobs", "ask-job", "Book what a customer asks for", 201, jobBody{}, s.askJob)
	shopRoute(s, http.MethodPost, "jobs/{job}/{step}", "step-job", "Promise a job, book it as made, hand it over, or drop it", 200, jobBody{}, s.stepJob)
	s.jobChangeRoutes()
	shopRoute(s, http.MethodGet, "shortages", "shortages", "What promised jobs take beside what is on hand", 200, []shortageBody{}, func(ctx context.Context, b Shop, _ *struct{}) ([]shortageBody, error) {
		all, err := b.Shortages(ctx)
		return list(all, func(x shop.Shortage) shortageBody {
			return shortageBody{x.Kind.Size, x.Kind.Colour, x.OnHand, x.Reserved + x.Gone, max(0, -x.Free()), append([]int64{}, x.Jobs...)}
		}), err
	})
}

func jobOf(j shop.Job) jobBody {
	return jobBody{j.ID, j.Customer, j.Called, string(j.State), j.Due, j.Note, j.PartlyHanded(), list(j.Lines, func(l shop.Line) lineBody {
		return lineBody{l.Number, l.Design, "", l.Name, l.Quantity, string(l.Destination), l.Blank, string(l.Template), l.Shelf, l.Made, l.Handed}
	})}
}

// askJob books a job. A line may name a run of the workbench: its design comes into
// the book first.
func (s *Server) askJob(ctx context.Context, b Shop, in *bodyOf[jobBody]) (jobBody, error) {
	j := shop.Job{Customer: in.Body.Customer, Due: in.Body.Due, Note: in.Body.Note}
	var err error
	if j.Lines, err = s.jobLines(ctx, b, in.Body.Lines); err != nil {
		return jobBody{}, err
	}
	made, err := b.Ask(ctx, s.opt.Now(), j)
	return jobOf(made), err
}

// madeOf gives the design of a run.
func (s *Server) madeOf(run string) (office.Made, []job.File, error) {
	files, err := s.done(run)
	if err != nil {
		return office.Made{}, nil, err
	}
	i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == office.LayoutName })
	if i < 0 {
		return office.Made{}, nil, fault.New("design", run, "this run is not of one design; make the files of one first")
	}
	made, err := office.ReadMade(files[i].Data)
	return made, files, err
}

// booked brings the design of a run into the book and gives its number there.
func (s *Server) booked(ctx context.Context, b Shop, run string) (int64, error) {
	made, files, err := s.madeOf(run)
	if err != nil {
		return 0, err
	}
	d, err := made.Design("design")
	if err != nil {
		return 0, err
	}
	if i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == office.PictureName }); i >= 0 {
		if err := office.SetPicture(&d, files[i].Data); err != nil {
			return 0, err
		}
	}
	d, err = b.AddDesign(ctx, s.opt.Now(), d)
	return d.ID, err
}

type stepIn struct {
	Job  int64  `path:"job"`
	Step string `path:"step" enum:"promise,make,hand-over,drop"`
	Body struct {
		Line      int    `json:"line,omitempty" minimum:"0" doc:"of make and hand-over; 0: every line"`
		Transfers int    `json:"transfers,omitempty" minimum:"0" doc:"of make; 0: all that are left"`
		Found     bool   `json:"found,omitempty" doc:"of make: all was there; count up what the book lacks of it"`
		Place     string `json:"place,omitempty" doc:"of make: where the stones are taken from"`
		Note      string `json:"note,omitempty"`
	}
}

func (s *Server) stepJob(ctx context.Context, b Shop, in *stepIn) (jobBody, error) {
	var j shop.Job
	var err error
	now := s.opt.Now()
	switch in.Step {
	case "promise":
		j, err = b.Promise(ctx, now, in.Job, in.Body.Note)
	case "make":
		j, err = b.Make(ctx, now, shop.Making{Job: in.Job, Line: in.Body.Line, Transfers: in.Body.Transfers, Found: in.Body.Found, Place: in.Body.Place, Note: in.Body.Note})
	case "hand-over":
		if in.Body.Line > 0 {
			j, err = b.HandOverLine(ctx, now, in.Job, in.Body.Line, in.Body.Note)
		} else {
			j, err = b.HandOver(ctx, now, in.Job, in.Body.Note)
		}
	case "drop":
		j, err = b.Drop(ctx, now, in.Job, in.Body.Note)
	}
	return jobOf(j), err
}
