// Package web serves the workbench: an HTTP API over the designs of a bench and the
// pipeline, and the built page. docs/formats/api.md is the page for its callers. It
// touches no file: designs are kept by a bench.Keeper, all else comes in Options.
package web

import (
	"context"
	"io/fs"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"brushfall/internal/bench"
	"brushfall/internal/fit"
)

// Options are what a server works with.
type Options struct {
	Version string
	Bench   bench.Keeper
	Samples []Sample
	// Pages is the built page; nil: the one that is embedded.
	Pages fs.FS
	// Hosts are names by which a browser may call the server besides its addresses.
	Hosts []string
	// Token, if not empty, is asked of every caller of the API.
	Token string
	// Fits reads the shop's own fits.
	Fits func() (fit.Book, error)
	// KeepFits keeps them; nil: they cannot be entered.
	KeepFits func(fit.Book) error
	// Font gives the bytes of a face installed on the machine, by its name alone; nil
	// for one that is not there.
	Font func(name string) []byte
	// Cutters are the ways to cutters; nil: none.
	Cutters Cutters
	// Shop opens the shop's book; nil: there is none to be had.
	Shop OpenShop
	// BookFile is the file of that book; nil: there is none to be had.
	BookFile BookFile
	// Now is the clock.
	Now func() time.Time
}

// Sample is a design to start from: a job file and the files that it names.
type Sample struct {
	ID, Name string
	Job      []byte
	Files    []bench.Upload
}

// Server answers the requests of a page.
type Server struct {
	opt     Options
	api     huma.API
	handler http.Handler
	desks   desks
	runs    runs
	sending sending
	rosters rosters
	fitting sync.Mutex
	ctx     context.Context
	stop    context.CancelFunc
	work    sync.WaitGroup
}

// New makes a server. Close ends what it does in the background.
func New(opt Options) (*Server, error) {
	if opt.Pages == nil {
		opt.Pages = embedded()
	}
	s := &Server{opt: opt, runs: runs{one: make(chan struct{}, 1)}}
	s.ctx, s.stop = context.WithCancel(context.Background())
	pages, err := newPages(opt.Pages)
	if err != nil {
		return nil, err
	}
	ownProblems()
	mux := http.NewServeMux()
	s.api = humago.New(mux, config(opt.Version))
	s.routes()
	mux.Handle("GET /", pages)
	smaller, err := packed(mux)
	if err != nil {
		return nil, err
	}
	s.handler = s.guarded(smaller)
	return s, nil
}

// config is huma's, without its page of documentation, which loads from elsewhere,
// and without links to schemas in the answers.
func config(version string) huma.Config {
	c := huma.DefaultConfig("Brushfall", version)
	c.OpenAPIPath, c.DocsPath, c.SchemasPath = "/api/openapi", "", ""
	c.CreateHooks = nil
	return c
}

// ServeHTTP is of http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close stops what is under way and waits for it.
func (s *Server) Close() {
	s.stop()
	s.work.Wait()
}

// routes lists the operations of the API, area by area.
func (s *Server) routes() {
	s.aboutRoutes()
	s.designRoutes()
	s.layoutRoutes()
	s.runRoutes()
	s.adviseRoutes()
	s.cutterRoutes()
	s.rosterRoutes()
	s.handRoutes()
	s.shopRoutes()
	s.paperRoutes()
	s.fitRoutes()
}

// get, post and so on register an operation with what is ours of it.
func route[I, O any](s *Server, method, path, id, summary string, status int, handler func(context.Context, *I) (*O, error)) {
	huma.Register(s.api, huma.Operation{
		OperationID: id, Method: method, Path: path, Summary: summary, DefaultStatus: status,
		MaxBodyBytes: mostUpload, BodyReadTimeout: bodyPatience,
	}, func(ctx context.Context, in *I) (*O, error) {
		out, err := handler(ctx, in)
		return out, problemOf(err)
	})
}

// bodyPatience is how long an upload may take: 32 MB over the slowest network of a
// workshop, 10 Mbit/s, and a half more.
const bodyPatience = 40 * time.Second
