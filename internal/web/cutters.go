package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/send"
)

// Cutters are the ways to cutters that the machine has.
type Cutters interface {
	// Ports lists the ports that a cutter may hang on, by their names.
	Ports() []string
	// Open opens the way to a cutter: a port that is listed, or HOST:PORT in the local
	// network. Names of files lead nowhere. Faults are the user's.
	Open(ctx context.Context, to string, line Line) (Link, error)
}

// Line are the settings of a serial line; empty ones are the usual.
type Line struct {
	Baud  int    `json:"baud,omitempty" minimum:"75" maximum:"4000000"`
	Frame string `json:"frame,omitempty" example:"8N1"`
	Flow  string `json:"flow,omitempty" enum:"xonxoff,rtscts,none"`
}

// Link is an open way to a cutter. Shut closes it; stuck says that it takes no more.
type Link interface {
	send.Link
	Shut(stuck bool) error
}

type cutterRow struct {
	Name string `json:"name"`
	Note string `json:"note,omitempty"`
}

func (s *Server) cutterRoutes() {
	route(s, http.MethodGet, "/api/cutters", "cutters", "The ports of this machine that a cutter may hang on", 200, func(context.Context, *struct{}) (*bodyOf[[]cutterRow], error) {
		out := []cutterRow{}
		if s.opt.Cutters != nil {
			for _, name := range s.opt.Cutters.Ports() {
				out = append(out, cutterRow{Name: name})
			}
		}
		return &bodyOf[[]cutterRow]{out}, nil
	})
	route(s, http.MethodPost, "/api/runs/{run}/send", "send", "Send a sheet to a cutter, in the background", 202, s.send)
}

type sendIn struct {
	Run  string `path:"run" maxLength:"64"`
	Body struct {
		Sheet int    `json:"sheet" minimum:"1" doc:"number of the sheet"`
		Port  string `json:"port" minLength:"1" maxLength:"200" doc:"a port of the list, or HOST:9100"`
		From  int    `json:"from,omitempty" minimum:"0" doc:"the plate to begin with, from 1; the first if left out"`
		Line
	}
}

// mostSendings is how many sheets go out at once: each cutter takes one.
const mostSendings = 4

// send streams a sheet to a cutter. How far it is comes as events of a run of its own.
func (s *Server) send(ctx context.Context, in *sendIn) (*bodyOf[runOut], error) {
	files, err := s.done(in.Run)
	if err != nil {
		return nil, err
	}
	if s.opt.Cutters == nil {
		return nil, fault.New("send-port", "", "this workbench has no way to a cutter")
	}
	name := fmt.Sprintf("sheet-%d.plt", in.Body.Sheet)
	i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == name })
	if i < 0 {
		return nil, fault.New("send-files", name, "the run has no such file for the cutter; a sheet that is too long for HP-GL is cut with the cutter's own software")
	}
	stream, err := send.Read(bytes.NewReader(files[i].Data))
	if err != nil {
		return nil, err
	}
	from := max(in.Body.From-1, 0)
	if from >= stream.Plates() {
		return nil, fault.New("send-from", name, "the sheet has %d plates, so none of number %d", stream.Plates(), in.Body.From)
	}
	if !s.sending.begin(in.Body.Port) {
		return nil, fault.New("send-busy", in.Body.Port, "a sheet is on its way to this cutter already; wait for it, or stop it")
	}
	link, err := s.opt.Cutters.Open(ctx, in.Body.Port, in.Body.Line)
	if err != nil {
		s.sending.end(in.Body.Port)
		return nil, err
	}
	r := s.begin("", 0, "sending "+name, func(ctx context.Context, r *run) ([]job.File, error) {
		defer s.sending.end(in.Body.Port)
		return nil, s.transmit(ctx, r, link, stream, from)
	})
	return &bodyOf[runOut]{runOut{r.id}}, nil
}

// transmit sends to the end, or says what is known of how far it came.
func (s *Server) transmit(ctx context.Context, r *run, link Link, stream send.Stream, from int) error {
	out, err := send.Send(ctx, link, stream, from, send.Options{Progress: func(written, total, plate int) {
		r.step(fmt.Sprintf("plate %d of %d", plate+1, stream.Plates()), written, total)
	}})
	shut := link.Shut(err != nil)
	if err == nil && shut != nil {
		err = fault.New("send-broken", "", "the connection to the cutter broke: %v", shut)
	}
	if err == nil {
		return nil
	}
	blade := "The blade was sent up and home."
	if !out.Up {
		blade = "The blade may be down: raise it at the machine, then send it home there."
	}
	rest := "All plates of this sheet went out."
	if out.Next < stream.Plates() {
		rest = fmt.Sprintf("Look at the sheet first; to go on, begin with plate %d.", out.Next+1)
	}
	told := fmt.Sprintf("%d of %d bytes went out, for sure the whole of %d plates. %s %s", out.Written, out.Total, out.Next-from, blade, rest)
	if errors.Is(err, context.Canceled) {
		return newProblem(http.StatusConflict, "send-stopped", "", "stopped: "+told)
	}
	if f, ok := errors.AsType[*fault.Error](err); ok {
		return newProblem(http.StatusUnprocessableEntity, f.Code, f.Where, f.Shown()+". "+told)
	}
	return err
}
