package web

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"sync"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/office"
)

// mostRuns bounds the runs whose files are kept in memory; older ones are made again
// when they are wanted.
const mostRuns = 12

// runs are the runs that are under way or whose files are at hand.
type runs struct {
	mu   sync.Mutex
	list []*run // the oldest first
	one  chan struct{}
}

// run is one run in the background, or a sending to a cutter.
type run struct {
	id, design string
	revision   int
	cancel     context.CancelFunc

	mu      sync.Mutex
	changed chan struct{} // closed at every change
	state   progressBody
	files   []job.File
	job     job.Job
	result  *job.Result // of a run of one design
	problem *problem
	ended   bool
}

// progressBody is how far a run is.
type progressBody struct {
	Stage string `json:"stage"`
	Done  int    `json:"done"`
	Total int    `json:"total" doc:"0: nobody knows"`
}

type runOut struct {
	Run string `json:"run"`
}

// OfRun names a run. Its fields, as those of the other inputs here that are shared, are
// seen by the library only where the type is exported.
type OfRun struct {
	Run string `path:"run" maxLength:"64"`
}

type runFile struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
	Kind  string `json:"kind" doc:"its media type"`
}

func (s *Server) runRoutes() {
	route(s, http.MethodPost, "/api/designs/{id}/runs", "new-run", "Make all files of a design, in the background", 202, s.newRun)
	route(s, http.MethodGet, "/api/designs/{id}/runs", "last-run", "The newest run of a design that is done and whose files are at hand", 200, s.lastRun)
	route(s, http.MethodGet, "/api/runs/{run}/files", "run-files", "The files of a run that is done", 200, s.runFiles)
	route(s, http.MethodGet, "/api/runs/{run}/files/{name}", "run-file", "One file of a run", 200, s.runFile)
	route(s, http.MethodGet, "/api/runs/{run}/all.zip", "run-zip", "All files of a run, with the job file and its drawings", 200, s.runZip)
	route(s, http.MethodDelete, "/api/runs/{run}", "stop-run", "Stop a run", 204, func(_ context.Context, in *OfRun) (*struct{}, error) {
		r, err := s.runs.find(in.Run)
		if err == nil {
			r.cancel()
		}
		return nil, err
	})
	s.eventRoutes()
}

// begin adds a run, which do does in the background; do gives its files.
func (s *Server) begin(design string, revision int, first string, do func(ctx context.Context, r *run) ([]job.File, error)) *run {
	var id [8]byte
	_, _ = rand.Read(id[:]) // never fails, says the package
	ctx, cancel := context.WithCancel(s.ctx)
	r := &run{id: hex.EncodeToString(id[:]), design: design, revision: revision, cancel: cancel, changed: make(chan struct{}), state: progressBody{Stage: first}}
	s.runs.add(r)
	s.work.Go(func() {
		defer cancel()
		files, err := do(ctx, r)
		if p, told := errors.AsType[*problem](err); ctx.Err() != nil && err != nil && (!told || p.Code == "internal") {
			err = fault.New("run-stopped", "", "stopped; nothing was made")
		}
		r.end(files, err)
	})
	return r
}

func (s *runs) add(r *run) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.list = append(s.list, r)
	for len(s.list) > mostRuns {
		i := slices.IndexFunc(s.list, (*run).over)
		if i < 0 {
			return
		}
		s.list = slices.Delete(s.list, i, i+1)
	}
}

// turn waits until no other run is under way: two at once would take twice as long each.
func (s *runs) turn(ctx context.Context) (free func(), err error) {
	select {
	case s.one <- struct{}{}:
		return func() { <-s.one }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (s *runs) find(id string) (*run, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.list, func(r *run) bool { return r.id == id })
	if i < 0 {
		return nil, fault.New("run-missing", id, "this run is not at hand any more; make the files once more")
	}
	return s.list[i], nil
}

// step notes how far the run is.
func (r *run) step(stage string, done, total int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.state = progressBody{stage, done, total}
	r.tell()
}

// end notes how it ended.
func (r *run) end(files []job.File, err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.ended, r.files = true, files
	if err != nil {
		r.problem = problemOf(err).(*problem)
	}
	r.tell()
}

// tell wakes those who watch. The caller has the lock.
func (r *run) tell() {
	close(r.changed)
	r.changed = make(chan struct{})
}

func (r *run) over() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.ended
}

// done gives the files of a run that is done.
func (s *Server) done(id string) ([]job.File, error) {
	r, err := s.runs.find(id)
	if err != nil {
		return nil, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case !r.ended:
		return nil, fault.New("run-under-way", id, "the files are not made yet; wait for the run to end")
	case r.problem != nil:
		return nil, r.problem
	}
	return r.files, nil
}

type lastRunOut struct {
	Run      string `json:"run"`
	Revision int    `json:"revision" doc:"of the design that the files are of"`
}

// lastRun gives the newest run of a design whose files are at hand.
func (s *Server) lastRun(_ context.Context, in *idIn) (*bodyOf[lastRunOut], error) {
	s.runs.mu.Lock()
	all := slices.Clone(s.runs.list)
	s.runs.mu.Unlock()
	for _, r := range slices.Backward(all) {
		if r.design != in.ID {
			continue
		}
		if files, err := s.done(r.id); err == nil && slices.ContainsFunc(files, func(f job.File) bool { return f.Name == office.LayoutName }) {
			return &bodyOf[lastRunOut]{lastRunOut{r.id, r.revision}}, nil
		}
	}
	return nil, fault.New("run-missing", in.ID, "no files of this design are at hand; make them once more")
}

func (s *Server) newRun(ctx context.Context, in *idIn) (*bodyOf[runOut], error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	j, err := s.job(ctx, d.Job, d.Files)
	if err != nil {
		return nil, err
	}
	if text, err := job.FromJSON(d.Job); err == nil {
		if _, err = job.ParseWith(j.Stones, jobName, text); err != nil {
			return nil, fault.New("job-field", jobName, "fields of a list stand in this design where a size, a colour or the like should; make its transfers from a list")
		}
	}
	j.Works = s.timings(ctx)
	r := s.begin(d.ID, d.Now, "waiting for another run", func(ctx context.Context, r *run) ([]job.File, error) {
		free, err := s.runs.turn(ctx)
		if err != nil {
			return nil, err
		}
		defer free()
		files, res, err := produce(ctx, j, r.step)
		if err != nil {
			return nil, err
		}
		r.mu.Lock()
		r.job, r.result = j, res
		r.mu.Unlock()
		more, err := s.sources(d)
		return append(files, more...), err
	})
	return &bodyOf[runOut]{runOut{r.id}}, nil
}

// produce makes the files of a design, as the command does, and gives the result of
// one that has a single width.
func produce(ctx context.Context, j job.Job, step job.Progress) ([]job.File, *job.Result, error) {
	if len(j.Widths) > 0 {
		res, err := job.RunSizes(ctx, j, step)
		if err != nil {
			return nil, nil, err
		}
		for _, one := range res.Runs {
			if len(one.Findings) > 0 {
				return nil, nil, broken(one.Result)
			}
		}
		return res.Files(), nil, nil
	}
	res, err := job.Run(ctx, j, step)
	if err != nil {
		return nil, nil, err
	}
	if len(res.Findings) > 0 {
		return nil, nil, broken(res)
	}
	return slices.Clone(res.Files()), &res, nil
}

// broken is the fault of a design that breaks a rule, which must not be cut.
func broken(res job.Result) error {
	return fault.New("run-broken", res.Document.Design, "the layout breaks a rule in %d places, so no files were made: %s; another width or stone may help", len(res.Findings), res.Findings[0])
}

// sources gives the job file and the drawings of a design, so that whoever has its
// files can make them again.
func (s *Server) sources(d bench.Design) ([]job.File, error) {
	text, err := job.FromJSON(d.Job)
	if err != nil {
		return nil, err
	}
	out := []job.File{{Name: fileName(d, ".yaml"), Data: text}}
	for _, f := range d.Files {
		data, err := s.opt.Bench.File(f)
		if err != nil {
			return nil, err
		}
		out = append(out, job.File{Name: f.Name, Data: data})
	}
	return out, nil
}

func (s *Server) runFiles(_ context.Context, in *OfRun) (*bodyOf[[]runFile], error) {
	files, err := s.done(in.Run)
	if err != nil {
		return nil, err
	}
	return &bodyOf[[]runFile]{filesOf(files)}, nil
}

type runFileIn struct {
	Run  string `path:"run" maxLength:"64"`
	Name string `path:"name" maxLength:"200" doc:"as in the list; a slash in it as %2F"`
}

func (s *Server) runFile(_ context.Context, in *runFileIn) (*downloadOut, error) {
	files, err := s.done(in.Run)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == in.Name })
	if i < 0 {
		return nil, fault.New("file-missing", in.Name, "the run made no file of this name")
	}
	return download(files[i].Name, files[i].Data), nil
}

func (s *Server) runZip(_ context.Context, in *OfRun) (*downloadOut, error) {
	files, err := s.done(in.Run)
	if err != nil {
		return nil, err
	}
	r, err := s.runs.find(in.Run)
	if err != nil {
		return nil, err
	}
	data, err := zipped(files)
	name := "brushfall.zip"
	if d, err := s.opt.Bench.Design(r.design); err == nil {
		name = fileName(d, ".zip")
	}
	if err != nil {
		return nil, fmt.Errorf("zip: %w", err)
	}
	return download(name, data), nil
}
