package web

import (
	"bytes"
	"context"
	"net/http"
	"slices"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/gauge"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
)

// Papers that need no book: of a run, and of what the trade knows.

type ticketIn struct {
	OfRun
	OnPaper
}

type proofIn struct {
	OfRun
	OnPaper
	Garment  string   `query:"garment" maxLength:"40" doc:"a name of about's garments, or #rrggbb; left out: navy"`
	Customer string   `query:"customer" maxLength:"400" doc:"name, with an address after it as of shop"`
	Number   string   `query:"number" maxLength:"40" doc:"of the job"`
	Day      string   `query:"day" maxLength:"10" doc:"left out: a line to fill in"`
	Press    string   `query:"press" maxLength:"40" doc:"what it goes onto, for its cautions; left out: all of them"`
	Note     []string `query:"note,explode" maxItems:"20"`
}

type careIn struct {
	OnPaper
	Press  string `query:"press" maxLength:"40" doc:"what the stones are on; left out: what holds everywhere"`
	Design string `query:"design" maxLength:"200"`
	Code   string `query:"code" maxLength:"40" doc:"of the template"`
	Copies int    `query:"copies" minimum:"0" maximum:"500" doc:"0: as many as the sheet holds"`
}

type gaugeIn struct {
	OnPaper
	Size   string  `query:"size" required:"true" maxLength:"20" example:"SS10"`
	Flock  string  `query:"flock" maxLength:"60" doc:"left out: the shop's usual one"`
	Cutter string  `query:"cutter" maxLength:"60" doc:"left out: the shop's usual one"`
	Around float64 `query:"around" minimum:"0" maximum:"5" doc:"the middle fit, mm; 0: the fit in use"`
	Step   float64 `query:"step" minimum:"0" maximum:"1" doc:"from group to group, mm; 0: 0.05"`
	Steps  int     `query:"steps" minimum:"0" maximum:"99" doc:"groups; 0: 7"`
	Holes  int     `query:"holes" minimum:"0" maximum:"500" doc:"in a group; 0: 24"`
}

func (s *Server) paperRoutes() {
	route(s, http.MethodGet, "/api/runs/{run}/ticket.pdf", "ticket-paper", "The ticket of a run in another language, or on other paper", 200, s.ticketPaper)
	route(s, http.MethodGet, "/api/runs/{run}/proof.pdf", "proof-paper", "The proof that a customer signs", 200, s.proofPaper)
	route(s, http.MethodGet, "/api/papers/care.pdf", "care-paper", "Cards that say how to care for the goods", 200, carePaper)
	route(s, http.MethodGet, "/api/papers/gauge.pdf", "gauge-paper", "The paper of a plate of trial holes", 200, func(_ context.Context, in *gaugeIn) (*downloadOut, error) {
		files, err := s.gaugeFiles(in)
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == "gauge.pdf" })
		return file("gauge.pdf", files[i].Data), nil
	})
	route(s, http.MethodGet, "/api/papers/gauge.zip", "gauge-files", "A plate of trial holes for the cutter, with its paper", 200, func(_ context.Context, in *gaugeIn) (*downloadOut, error) {
		files, err := s.gaugeFiles(in)
		if err != nil {
			return nil, err
		}
		data, err := zipped(files)
		return file("gauge.zip", data), err
	})
}

// ticketPaper prints the ticket of a run anew.
func (s *Server) ticketPaper(ctx context.Context, in *ticketIn) (*downloadOut, error) {
	if _, err := s.done(in.Run); err != nil {
		return nil, err
	}
	r, err := s.runs.find(in.Run)
	if err != nil {
		return nil, err
	}
	if r.result == nil {
		return nil, fault.New("design", in.Run, "this run is not of one design; its tickets are among its files")
	}
	j, p := r.job, in.print()
	j.Works = s.timings(ctx)
	if p.Language != "" {
		j.Language = p.Language
	}
	if p.Paper != "" {
		j.Paper = p.Paper
	}
	var out bytes.Buffer
	err = j.Ticket(&out, *r.result)
	return file("ticket.pdf", out.Bytes()), err
}

// proofPaper prints the proof of a run's design.
func (s *Server) proofPaper(_ context.Context, in *proofIn) (*downloadOut, error) {
	made, _, err := s.madeOf(in.Run)
	if err != nil {
		return nil, err
	}
	how := in.print()
	p := job.ProofPaper{Language: how.Spoken(), Garment: in.Garment, Shop: office.Party(in.Shop), Customer: office.Party(in.Customer), Number: in.Number, Notes: in.Note}
	if p.Date, err = dayOf(in.Day); err != nil {
		return nil, err
	}
	if p.Press, err = pressOf(in.Press); err != nil {
		return nil, err
	}
	model, err := job.CustomerProof(made.Document, p)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = pdf.WriteCustomerProof(&out, model, how.Options())
	return file("proof.pdf", out.Bytes()), err
}

func carePaper(_ context.Context, in *careIn) (*downloadOut, error) {
	how := in.print()
	ask := ticket.CareInput{Language: how.Spoken(), Shop: office.Party(in.Shop), Design: in.Design, Code: in.Code, Copies: in.Copies}
	var err error
	if ask.Material, err = pressOf(in.Press); err != nil {
		return nil, err
	}
	card, err := ticket.BuildCare(ask)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = pdf.WriteCare(&out, card, how.Options())
	return file("care.pdf", out.Bytes()), err
}

// gaugeFiles makes a plate of trial holes, as "brushfall gauge -o" does.
func (s *Server) gaugeFiles(in *gaugeIn) ([]job.File, error) {
	g, err := s.gaugeJob(in)
	if err != nil {
		return nil, err
	}
	return job.Gauge(g)
}

// gaugeJob reads what trial holes are asked for.
func (s *Server) gaugeJob(in *gaugeIn) (job.GaugeJob, error) {
	size, err := catalogue.FindSize(in.Size)
	if err != nil {
		return job.GaugeJob{}, err
	}
	fits, err := s.fits()
	if err != nil {
		return job.GaugeJob{}, err
	}
	ask := office.Trial{Options: gauge.Options{Size: size, Around: in.Around, Step: in.Step, Steps: in.Steps, Holes: in.Holes}, Flock: in.Flock, Cutter: in.Cutter, Like: job.Default("")}
	how := in.print()
	if how.Paper != "" {
		ask.Like.Paper = how.Paper
	}
	if how.Language != "" {
		ask.Like.Language = how.Language
	}
	return ask.Gauge(fits)
}

// dayOf reads a day that may be left out.
func dayOf(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	return office.ParseDay(text)
}

// pressOf reads what is pressed onto, where it is said.
func pressOf(text string) (ticket.Material, error) {
	if text == "" {
		return ticket.Any, nil
	}
	return job.ParsePress(text)
}
