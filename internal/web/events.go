package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"brushfall/internal/job"
)

// heartbeat is how often a line without meaning keeps a quiet stream open.
const heartbeat = 15 * time.Second

// eventRoutes registers the streams of server-sent events (HTML standard, §9.2).
func (s *Server) eventRoutes() {
	op := huma.Operation{
		OperationID: "run-events", Method: http.MethodGet, Path: "/api/runs/{run}/events",
		Summary: "How far a run is: events progress {stage, done, total}, then done {files} or failed {problem}",
		Responses: map[string]*huma.Response{"200": {
			Description: "a stream of events", Content: map[string]*huma.MediaType{"text/event-stream": {Schema: &huma.Schema{Type: huma.TypeString}}},
		}},
	}
	huma.Register(s.api, op, func(_ context.Context, in *OfRun) (*huma.StreamResponse, error) {
		r, err := s.runs.find(in.Run)
		if err != nil {
			return nil, problemOf(err)
		}
		return &huma.StreamResponse{Body: func(c huma.Context) {
			_, w := humago.Unwrap(c)
			s.stream(c.Context(), w, r)
		}}, nil
	})
}

// stream writes what becomes of a run until it has ended or nobody listens.
func (s *Server) stream(ctx context.Context, w http.ResponseWriter, r *run) {
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	for {
		r.mu.Lock()
		state, problem, ended, files, changed := r.state, r.problem, r.ended, r.files, r.changed
		r.mu.Unlock()
		switch {
		case problem != nil:
			emit(w, "failed", map[string]any{"problem": problem})
		case ended:
			emit(w, "done", map[string]any{"files": filesOf(files)})
		default:
			emit(w, "progress", state)
		}
		if err := out.Flush(); err != nil || ended {
			return
		}
		select {
		case <-changed:
		case <-time.After(heartbeat):
			fmt.Fprint(w, ": still here\n\n")
		case <-ctx.Done():
			return
		case <-s.ctx.Done():
			return
		}
	}
}

func emit(w http.ResponseWriter, event string, data any) {
	text, err := json.Marshal(data)
	if err == nil {
		fmt.Fprintf(w, "event: %s\ndata: %s\n\n", event, text)
	}
}

func filesOf(files []job.File) []runFile {
	out := []runFile{}
	for _, f := range files {
		out = append(out, runFile{f.Name, len(f.Data), typeOf(f.Name)})
	}
	return out
}
