package web

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
	"brushfall/internal/job"
)

type fileRow struct {
	Name  string `json:"name"`
	Bytes int64  `json:"bytes"`
}

// designBody is a design at its present revision.
type designBody struct {
	ID       string          `json:"id"`
	Name     string          `json:"name"`
	Changed  string          `json:"changed" format:"date-time"`
	Revision int             `json:"revision"`
	First    int             `json:"first" doc:"what can be undone goes back to this revision"`
	Last     int             `json:"last" doc:"what was undone can be done again up to this revision"`
	Job      json.RawMessage `json:"job" doc:"a job object, its keys those of the job file"`
	Drawings []fileRow       `json:"drawings"`
}

// designRow is a line of the list. Stones are 0 for a design that was never laid out.
type designRow struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	Changed string  `json:"changed" format:"date-time"`
	Stones  int     `json:"stones"`
	Width   float64 `json:"width"`
	Height  float64 `json:"height"`
	Picture string  `json:"picture"`
	Garment string  `json:"garment" doc:"the colour of the cloth in the picture"`
}

type idIn struct {
	ID string `path:"id" maxLength:"64"`
}

type revisionOut struct {
	Revision int `json:"revision"`
}

func (s *Server) designRoutes() {
	route(s, http.MethodGet, "/api/designs", "list-designs", "The designs on the bench, the one changed last first", 200, s.listDesigns)
	route(s, http.MethodPost, "/api/designs", "new-design", "Begin a design: of a drawing, a sample, or lettering", 201, s.newDesign)
	route(s, http.MethodGet, "/api/designs/{id}", "get-design", "A design as it is now", 200, s.getDesign)
	route(s, http.MethodPut, "/api/designs/{id}/job", "put-job", "Change the job: a new revision", 200, s.putJob)
	route(s, http.MethodPost, "/api/designs/{id}/undo", "undo", "Go one revision back", 200, func(_ context.Context, in *idIn) (*bodyOf[designBody], error) {
		return answered(s.opt.Bench.Undo(in.ID, s.opt.Now()))
	})
	route(s, http.MethodPost, "/api/designs/{id}/redo", "redo", "Go one revision forward", 200, func(_ context.Context, in *idIn) (*bodyOf[designBody], error) {
		return answered(s.opt.Bench.Redo(in.ID, s.opt.Now()))
	})
	route(s, http.MethodDelete, "/api/designs/{id}", "remove-design", "Take a design off the bench", 204, func(_ context.Context, in *idIn) (*struct{}, error) {
		return nil, s.opt.Bench.Remove(in.ID, s.opt.Now())
	})
	route(s, http.MethodPost, "/api/designs/{id}/restore", "restore-design", "Bring a removed design back", 200, func(_ context.Context, in *idIn) (*bodyOf[designBody], error) {
		return answered(s.opt.Bench.Restore(in.ID, s.opt.Now()))
	})
	route(s, http.MethodPost, "/api/designs/{id}/drawings", "put-drawing", "Add a drawing or a font, or put it in the place of the one of its name", 200, s.putDrawing)
	route(s, http.MethodGet, "/api/designs/{id}/drawings/{name}", "get-drawing", "A drawing as it came", 200, s.getDrawing)
	route(s, http.MethodGet, "/api/designs/{id}/job.yaml", "get-job-file", "The job file, for \"brushfall make\"", 200, s.getJobFile)
}

// answered gives a design as an answer.
func answered(d bench.Design, err error) (*bodyOf[designBody], error) {
	if err != nil {
		return nil, err
	}
	b := designBody{ID: d.ID, Name: nameOf(d), Changed: stamp(d), Revision: d.Now, First: d.First, Last: d.Last, Job: d.Job, Drawings: []fileRow{}}
	for _, f := range d.Files {
		b.Drawings = append(b.Drawings, fileRow{f.Name, f.Bytes})
	}
	return &bodyOf[designBody]{b}, nil
}

func stamp(d bench.Design) string { return d.Changed.UTC().Format("2006-01-02T15:04:05.000Z") }

// nameOf gives the name of a design as its job has it, without a list.
func nameOf(d bench.Design) string {
	var named struct {
		Design, Artwork string
		Drawings        []struct{ File string }
		Lettering       []struct{ Text string }
	}
	_ = json.Unmarshal(d.Job, &named) // a job that cannot be read has what could be
	switch {
	case named.Design != "":
		return job.PlainWords(named.Design)
	case named.Artwork != "":
		return job.Default(named.Artwork).Design
	case len(named.Drawings) > 0:
		return job.Default(named.Drawings[0].File).Design
	case len(named.Lettering) > 0:
		return job.PlainWords(named.Lettering[0].Text)
	}
	return "design"
}

// garmentOf gives the colour of the cloth that a design is shown on.
func garmentOf(d bench.Design) string {
	var j struct{ Garment string }
	_ = json.Unmarshal(d.Job, &j) // a job that cannot be read is shown on the usual cloth
	return cmp.Or(j.Garment, job.Default("").Garment)
}

func (s *Server) listDesigns(context.Context, *struct{}) (*bodyOf[[]designRow], error) {
	list, err := s.opt.Bench.List()
	if err != nil {
		return nil, err
	}
	out := []designRow{}
	for _, d := range list {
		row := designRow{ID: d.ID, Name: nameOf(d), Changed: stamp(d), Picture: fmt.Sprintf("/api/designs/%s/picture.png?size=small&revision=%d", d.ID, d.Now), Garment: garmentOf(d)}
		var f figures
		if json.Unmarshal(s.opt.Bench.Recall(d.ID, figuresName), &f) == nil {
			row.Stones, row.Width, row.Height = f.Stones, f.Width, f.Height
		}
		out = append(out, row)
	}
	return &bodyOf[[]designRow]{out}, nil
}

func (s *Server) getDesign(_ context.Context, in *idIn) (*bodyOf[designBody], error) {
	return answered(s.opt.Bench.Design(in.ID))
}

type putJobIn struct {
	ID    string `path:"id" maxLength:"64"`
	Match string `header:"If-Match" required:"true" doc:"the revision that the change was made from"`
	Body  json.RawMessage
}

// putJob saves a job that can be read, with all files that it names at hand.
func (s *Server) putJob(ctx context.Context, in *putJobIn) (*bodyOf[revisionOut], error) {
	after, err := revisionIn(in.Match)
	if err != nil {
		return nil, err
	}
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	if _, err := s.job(ctx, in.Body, d.Files); err != nil {
		return nil, err
	}
	d, err = s.opt.Bench.Change(in.ID, after, bench.Change{Job: in.Body}, s.opt.Now())
	if err != nil {
		return nil, err
	}
	return &bodyOf[revisionOut]{revisionOut{d.Now}}, nil
}

// revisionIn reads a revision as If-Match has it, with or without quotes.
func revisionIn(header string) (int, error) {
	n, err := strconv.Atoi(strings.Trim(header, `"`))
	if err != nil {
		return 0, newProblem(http.StatusBadRequest, "request", "header.If-Match", "If-Match is no revision; send the one that the change was made from")
	}
	return n, nil
}

type newIn struct {
	Type    string `header:"Content-Type"`
	RawBody []byte `contentType:"multipart/form-data"`
}

// begin is what a design can be begun from, if not from a drawing.
type begin struct {
	Sample    string `json:"sample"`
	Lettering *struct {
		Text   string `json:"text"`
		Face   string `json:"face,omitempty"`
		Height string `json:"height,omitempty"`
	} `json:"lettering"`
}

func (s *Server) newDesign(ctx context.Context, in *newIn) (*bodyOf[designBody], error) {
	var c bench.Change
	var err error
	if strings.HasPrefix(in.Type, "multipart/") {
		c, err = fromDrawing(in.Type, in.RawBody)
	} else {
		c, err = s.fromWords(ctx, in.RawBody)
	}
	if err != nil {
		return nil, err
	}
	return answered(s.opt.Bench.New(c, s.opt.Now()))
}

// fromWords begins a design from a sample or from lettering.
func (s *Server) fromWords(ctx context.Context, body []byte) (bench.Change, error) {
	var b begin
	if err := json.Unmarshal(body, &b); err != nil {
		return bench.Change{}, newProblem(http.StatusBadRequest, "request", "body", "a design begins with a drawing, {\"sample\": …} or {\"lettering\": …}")
	}
	if b.Lettering == nil {
		i := slices.IndexFunc(s.opt.Samples, func(m Sample) bool { return m.ID == b.Sample })
		if i < 0 {
			return bench.Change{}, fault.New("sample-missing", b.Sample, "there is no such sample")
		}
		m := s.opt.Samples[i]
		object, err := job.ToJSON(m.ID, m.Job)
		return bench.Change{Job: object, Add: m.Files}, err
	}
	l := b.Lettering
	if l.Height == "" {
		l.Height = "40 mm"
	}
	object, err := json.Marshal(struct {
		Lettering []any             `json:"lettering"`
		Stone     map[string]string `json:"stone"`
	}{[]any{l}, map[string]string{"size": "SS6", "colour": "crystal"}})
	if err != nil {
		return bench.Change{}, err
	}
	_, err = s.job(ctx, object, nil)
	return bench.Change{Job: object}, err
}

// Bounds in mm of the own width of a drawing that is taken as it is; a design of
// usualWidth is begun of others, which were drawn without thinking of it.
const (
	leastOwn, mostOwn = 20, 400
	usualWidth        = "9 in"
)

// fromDrawing begins a design from a drawing, at its own size if it can be meant.
func fromDrawing(kind string, body []byte) (bench.Change, error) {
	u, err := oneFile(kind, body)
	if err != nil {
		return bench.Change{}, err
	}
	if !isDrawing(u.Name) {
		return bench.Change{}, fault.New("artwork-kind", u.Name, "this kind of file cannot be read; save the drawing as SVG or DXF")
	}
	d, err := job.ReadArtwork(u.Name, u.Data)
	if err != nil {
		return bench.Change{}, err
	}
	if len(d.Regions) == 0 {
		_, _, err := job.Drawing(job.Job{ArtworkName: u.Name, Artwork: u.Data, Width: 100}, nil)
		return bench.Change{}, err
	}
	width := usualWidth
	if own := d.Extent().Width(); own >= leastOwn && own <= mostOwn {
		width = strconv.FormatFloat(own, 'f', 2, 64) + " mm"
	}
	object, err := json.Marshal(struct {
		Design  string            `json:"design"`
		Artwork string            `json:"artwork"`
		Width   string            `json:"width"`
		Stone   map[string]string `json:"stone"`
	}{job.Default(u.Name).Design, u.Name, width, map[string]string{"size": "SS10", "colour": "crystal"}})
	return bench.Change{Job: object, Add: []bench.Upload{u}}, err
}

// fileName gives the name under which a design is downloaded.
func fileName(d bench.Design, ext string) string {
	return job.FileName(nameOf(d)) + ext
}

type downloadOut struct {
	Type        string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *Server) getJobFile(_ context.Context, in *idIn) (*downloadOut, error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	text, err := job.FromJSON(d.Job)
	return download(fileName(d, ".yaml"), text), err
}

type nameIn struct {
	ID   string `path:"id" maxLength:"64"`
	Name string `path:"name" maxLength:"200"`
}

func (s *Server) getDrawing(_ context.Context, in *nameIn) (*downloadOut, error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(d.Files, func(f bench.File) bool { return f.Name == in.Name })
	if i < 0 {
		return nil, fault.New("file-missing", in.Name, "the design has no file of this name")
	}
	data, err := s.opt.Bench.File(d.Files[i])
	return download(path.Base(in.Name), data), err
}
