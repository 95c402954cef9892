package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/http"
	"slices"
	"strings"
	"sync"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/roster"
)

// mostRosters bounds the lists that are kept; mostMade the bytes of the files of one
// run, which lie in memory: longer lists are for the command, which writes as it goes.
const (
	mostRosters = 8
	mostMade    = 512 << 20
)

// rosters are the lists that came in and wait to be made.
type rosters struct {
	mu   sync.Mutex
	list []*pending // the oldest first
}

type pending struct {
	id       string
	design   bench.Design
	composed job.Roster
}

// rosterBody is a list as it was read, with all that is wrong with it.
type rosterBody struct {
	Roster    string         `json:"roster" doc:"id, to make it by"`
	Columns   []string       `json:"columns"`
	Rows      []rosterRow    `json:"rows"`
	Designs   int            `json:"designs" doc:"distinct designs of the rows without faults"`
	Transfers int            `json:"transfers"`
	Faults    []roster.Fault `json:"faults" doc:"row 0: every row; an empty column: the whole row"`
	Unused    []string       `json:"unused" doc:"columns that the job does not name"`
}

type rosterRow struct {
	Number int      `json:"number" doc:"as a spreadsheet shows it"`
	Cells  []string `json:"cells"`
	Faulty bool     `json:"faulty"`
}

func (s *Server) rosterRoutes() {
	route(s, http.MethodPost, "/api/rosters", "new-roster", "Read a list for a design: a form with the list (CSV, XLSX) and the value design; nothing is made", 200, s.newRoster)
	route(s, http.MethodPost, "/api/rosters/{roster}/runs", "run-roster", "Make the transfers of a list, in the background", 202, s.runRoster)
}

func (s *Server) newRoster(ctx context.Context, in *newIn) (*bodyOf[rosterBody], error) {
	files, values, err := readForm(in.Type, in.RawBody)
	if err != nil {
		return nil, err
	}
	if len(files) != 1 {
		return nil, newProblem(http.StatusBadRequest, "request", "body", "send one list in a form, with the value design")
	}
	d, err := s.opt.Bench.Design(values["design"])
	if err != nil {
		return nil, err
	}
	text, err := job.FromJSON(d.Job)
	if err != nil {
		return nil, err
	}
	stones, err := s.stones(ctx)
	if err != nil {
		return nil, err
	}
	t, err := job.ParseTemplateWith(stones, jobName, text)
	if err != nil {
		return nil, err
	}
	l, faults, err := roster.Read(files[0].Name, bytes.NewReader(files[0].Data))
	if err != nil {
		return nil, err
	}
	works := s.timings(ctx)
	composed, err := job.Compose(t, l, faults, s.opt.Version, func(j job.Job) (job.Job, error) {
		j.Works = works
		return s.supplied(j, d.Files)
	})
	if err != nil {
		return nil, err
	}
	return &bodyOf[rosterBody]{rosterOf(composed, s.rosters.add(d, composed))}, nil
}

func (r *rosters) add(d bench.Design, composed job.Roster) string {
	r.mu.Lock()
	defer r.mu.Unlock()
	var id [8]byte
	_, _ = rand.Read(id[:]) // never fails, says the package
	p := &pending{hex.EncodeToString(id[:]), d, composed}
	r.list = append(r.list, p)
	if len(r.list) > mostRosters {
		r.list = r.list[1:]
	}
	return p.id
}

func (r *rosters) find(id string) (*pending, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	i := slices.IndexFunc(r.list, func(p *pending) bool { return p.id == id })
	if i < 0 {
		return nil, fault.New("roster-missing", id, "this list is not at hand any more; drop it here once more")
	}
	return r.list[i], nil
}

func rosterOf(r job.Roster, id string) rosterBody {
	b := rosterBody{Roster: id, Columns: r.List.Columns, Rows: []rosterRow{}, Designs: len(r.Designs), Faults: append([]roster.Fault{}, r.Faults...), Unused: append([]string{}, r.Unused...)}
	for _, row := range r.List.Rows {
		faulty := slices.ContainsFunc(r.Faults, func(f roster.Fault) bool { return f.Row == row.Number || f.Row == 0 })
		b.Rows = append(b.Rows, rosterRow{row.Number, row.Cells, faulty})
	}
	for _, d := range r.Designs {
		b.Transfers += d.Transfers
	}
	return b
}

type runRosterIn struct {
	Roster string `path:"roster" maxLength:"64"`
	Body   struct {
		Skip bool `json:"skip_faulty,omitempty" doc:"leave out the rows that something is wrong with"`
	}
}

func (s *Server) runRoster(_ context.Context, in *runRosterIn) (*bodyOf[runOut], error) {
	p, err := s.rosters.find(in.Roster)
	if err != nil {
		return nil, err
	}
	if len(p.composed.Designs) == 0 || len(p.composed.Faults) > 0 && !in.Body.Skip {
		return nil, rosterFaulty(p.composed.Faults)
	}
	r := s.begin(p.design.ID, p.design.Now, "waiting for another run", func(ctx context.Context, r *run) ([]job.File, error) {
		free, err := s.runs.turn(ctx)
		if err != nil {
			return nil, err
		}
		defer free()
		store := &gathering{}
		res, err := job.RunRoster(ctx, p.composed, job.RosterOptions{SkipFaulty: in.Body.Skip, Store: store}, r.step)
		switch {
		case err != nil:
			return nil, err
		case len(res.Faults) > 0 && !in.Body.Skip, len(res.GangResult.Designs) == 0:
			return nil, rosterFaulty(res.Faults)
		case len(res.Findings) > 0:
			return nil, fault.New("run-broken", "", "the layout breaks a rule in %d places, so no files were made: %s", len(res.Findings), res.Findings[0])
		}
		return store.sorted(), nil
	})
	return &bodyOf[runOut]{runOut{r.id}}, nil
}

// rosterFaulty is the problem of a list that cannot be made as it is.
func rosterFaulty(faults []roster.Fault) error {
	var first []string
	for _, f := range faults[:min(len(faults), 5)] {
		first = append(first, f.String())
	}
	return fault.New("roster-faulty", "", "something is wrong with the list, so nothing was made: %s; mend the list, or leave the faulty rows out", strings.Join(first, "; "))
}

// gathering is a store of a list's run that keeps the files in memory.
type gathering struct {
	mu    sync.Mutex
	files []job.File
	bytes int
}

// Get is of job.Store.
func (g *gathering) Get(string) ([]byte, bool) { return nil, false }

// Put is of job.Store.
func (g *gathering) Put(string, []byte) error { return nil }

// Done is of job.Store.
func (g *gathering) Done(string) bool { return false }

// Write is of job.Store.
func (g *gathering) Write(_ string, files []job.File) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	for _, f := range files {
		if g.bytes += len(f.Data); g.bytes > mostMade {
			return fault.New("run-large", "", "the files of this list take more than %d MB; make it with brushfall roster, or in parts", mostMade>>20).
				OnPage("the files of this list take more than %d MB; make it in parts, or in a terminal (brushfall roster)", mostMade>>20)
		}
	}
	g.files = append(g.files, files...)
	return nil
}

// sorted gives the files of all designs first that lie in no folder, each by name.
func (g *gathering) sorted() []job.File {
	slices.SortFunc(g.files, func(a, b job.File) int {
		if deep := strings.Count(a.Name, "/") - strings.Count(b.Name, "/"); deep != 0 {
			return deep
		}
		return strings.Compare(a.Name, b.Name)
	})
	return g.files
}
