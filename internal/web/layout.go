package web

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"brushfall/internal/bench"
	"brushfall/internal/job"
	"brushfall/internal/layout"
	"brushfall/internal/proof"
)

func (s *Server) layoutRoutes() {
	route(s, http.MethodPost, "/api/designs/{id}/layout", "layout", "Lay the stones; a newer request of the same window ends this one", 200, s.lay)
	route(s, http.MethodGet, "/api/designs/{id}/outline", "outline", "The outlines of the artwork at its size", 200, s.outline)
	route(s, http.MethodGet, "/api/designs/{id}/picture.png", "picture", "A picture of the finished design", 200, s.picture)
}

type layIn struct {
	ID   string `path:"id" maxLength:"64"`
	Body struct {
		Effort string          `json:"effort,omitempty" enum:"live,final" default:"live"`
		Job    json.RawMessage `json:"job,omitempty" doc:"a job that is not saved; the design's own if left out"`
		Window string          `json:"window,omitempty" maxLength:"64" doc:"any name that a window gives itself"`
	}
}

// lay lays a design out.
func (s *Server) lay(ctx context.Context, in *layIn) (*bodyOf[layoutBody], error) {
	begun := s.opt.Now()
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	desk := s.desks.of(in.ID)
	ctx, done, err := desk.newest(ctx, in.Body.Window)
	if err != nil {
		return nil, err
	}
	defer done()
	object := d.Job
	if len(in.Body.Job) > 0 {
		object = in.Body.Job
	}
	j, err := desk.read(ctx, s, object, d.Files)
	if err != nil {
		return nil, err
	}
	j = single(j)
	final, memory := in.Body.Effort == "final", &desk.memory
	if j.Effort = layout.Live; final {
		j.Effort, memory = layout.Final, &desk.final
	}
	draft, err := job.Lay(ctx, j, memory, nil)
	if err != nil {
		return nil, err
	}
	body := layoutOf(j, draft, final)
	drawing, _, err := job.Drawing(j, memory)
	if err != nil {
		return nil, err
	}
	body.explain(j, drawing.Regions)
	if final {
		if body.Cost, err = s.cost(ctx, draft); err != nil {
			return nil, err
		}
		if body.Minutes, err = minutesOf(j, draft); err != nil {
			return nil, err
		}
		if err := s.addMends(ctx, &body, j, object, d.Files); err != nil {
			return nil, err
		}
	}
	body.Revision = d.Now
	if len(in.Body.Job) == 0 {
		s.show(d, desk, j, draft)
	}
	body.MS = float64(s.opt.Now().Sub(begun)) / float64(time.Millisecond)
	return &bodyOf[layoutBody]{body}, nil
}

// minutesOf estimates how long the sheets take to cut.
func minutesOf(j job.Job, d job.Draft) (*minutes, error) {
	times, err := j.Estimate(d)
	if err != nil {
		return nil, err
	}
	var m minutes
	for _, t := range times {
		m.Cut += t.Total() / 60
	}
	return &m, nil
}

// single takes the first of several widths, which is what can be looked at.
func single(j job.Job) job.Job {
	if len(j.Widths) > 0 {
		j.Width, j.Height, j.Widths = j.Widths[0].Width, 0, nil
	}
	return j
}

// figures are what the list tells of a design.
type figures struct {
	Revision int     `json:"revision"`
	Stones   int     `json:"stones"`
	Width    float64 `json:"width"`
	Height   float64 `json:"height"`
}

// Names of what is remembered with a design.
const (
	figuresName = "figures.json"
	smallName   = "small.png"
	pictureName = "picture.png"
)

// show keeps the layout of a saved revision, for its picture and its line in the list.
func (s *Server) show(d bench.Design, desk *desk, j job.Job, draft job.Draft) {
	desk.mu.Lock()
	known := desk.shown.revision == d.Now
	desk.shown = shown{d.Now, draft, j.Garment}
	desk.mu.Unlock()
	if known && j.Effort == layout.Live {
		return
	}
	f := figures{d.Now, len(draft.Document.Stones), draft.Document.Width, draft.Document.Height}
	if text, err := json.Marshal(f); err == nil {
		s.opt.Bench.Remember(d.ID, figuresName, text)
	}
}

type pictureIn struct {
	ID       string `path:"id" maxLength:"64"`
	Size     string `query:"size" enum:"small,large" default:"large"`
	Revision int    `query:"revision" doc:"only so that caches tell pictures apart; the present revision is shown"`
}

// mostPixels bounds pictures: a small one for the list, a large one for the screen.
const (
	smallPixels = 120_000
	largePixels = 1_500_000
)

func (s *Server) picture(ctx context.Context, in *pictureIn) (*downloadOut, error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	name, most := pictureName, largePixels
	if in.Size == "small" {
		name, most = smallName, smallPixels
	}
	if kept := s.opt.Bench.Recall(d.ID, name); len(kept) > 8 && binary.BigEndian.Uint64(kept) == uint64(d.Now) {
		return inline("image/png", kept[8:]), nil
	}
	last, err := s.laid(ctx, d)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	_ = binary.Write(&b, binary.BigEndian, uint64(d.Now)) // a buffer takes everything
	if err := proof.Render(&b, last.draft.Document, proof.Options{Garment: last.garment, MaxPixels: most}); err != nil {
		return nil, err
	}
	s.opt.Bench.Remember(d.ID, name, b.Bytes())
	return inline("image/png", b.Bytes()[8:]), nil
}

// laid gives the layout of the present revision, that of the last request if there
// was one.
func (s *Server) laid(ctx context.Context, d bench.Design) (shown, error) {
	desk := s.desks.of(d.ID)
	done, err := desk.wait(ctx)
	if err != nil {
		return shown{}, err
	}
	defer done()
	desk.mu.Lock()
	last := desk.shown
	desk.mu.Unlock()
	if last.revision == d.Now {
		return last, nil
	}
	j, err := desk.read(ctx, s, d.Job, d.Files)
	if err != nil {
		return shown{}, err
	}
	j = single(j)
	j.Effort = layout.Live
	draft, err := job.Lay(ctx, j, &desk.memory, nil)
	if err != nil {
		return shown{}, err
	}
	s.show(d, desk, j, draft)
	return shown{d.Now, draft, j.Garment}, nil
}

// download gives bytes to be saved under a name.
func download(name string, data []byte) *downloadOut {
	return &downloadOut{Type: typeOf(name), Disposition: "attachment; filename=" + strconv.Quote(asciiOnly(name)), Body: data}
}

// inline gives bytes to be shown.
func inline(kind string, data []byte) *downloadOut {
	return &downloadOut{Type: kind, Disposition: "inline", Body: data}
}
