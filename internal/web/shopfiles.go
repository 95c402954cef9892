package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"path"
	"strconv"

	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/wording"
)

// OnPaper says how a paper is printed.
type OnPaper struct {
	Paper    string `query:"paper" enum:"a4,letter" doc:"left out: A4, or as the job has it"`
	Language string `query:"language" enum:"en,de,es" doc:"left out: by the settings, or as the job has it"`
	Shop     string `query:"shop" maxLength:"400" doc:"your name and what stands below it, with semicolons between"`
}

func (p OnPaper) print() office.Print {
	return office.Print{Paper: job.Paper(p.Paper), Language: wording.Language(p.Language), Shop: p.Shop}
}

// shopFile is a route that gives a file made of the book. Where there is no book yet
// the fault is "book-missing".
func shopFile[I any](s *Server, name, id, summary string, write func(ctx context.Context, b Shop, w io.Writer, in *I) error) {
	route(s, http.MethodGet, "/api/shop/"+name, id, summary, 200, func(ctx context.Context, in *I) (*downloadOut, error) {
		b, err := s.book(ctx)
		if err != nil {
			return nil, err
		}
		var out bytes.Buffer
		err = write(ctx, b, &out, in)
		return file(path.Base(name), out.Bytes()), err
	})
}

// book gives the book that is there.
func (s *Server) book(ctx context.Context) (Shop, error) {
	missing := fault.New("book-missing", "", "there is no shop's book yet; it begins with the first thing that you book")
	if s.opt.Shop == nil {
		return nil, missing
	}
	b, err := s.opt.Shop(ctx, false)
	if err == nil && b == nil {
		err = missing
	}
	return b, err
}

// file gives a paper to be read at once, anything else to be saved, under its name.
func file(name string, data []byte) *downloadOut {
	out := download(name, data)
	if path.Ext(name) == ".pdf" {
		out.Disposition = "inline; filename=" + strconv.Quote(asciiOnly(name))
	}
	return out
}
