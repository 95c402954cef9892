package web

import (
	"context"
	"errors"
	"io"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"brushfall/internal/fault"
)

// BookReport is what a check of the whole book found. Problems is empty for a sound one.
type BookReport struct {
	Sound     bool     `json:"sound"`
	Deeds     int      `json:"deeds"`
	Lots      int      `json:"lots"`
	Pieces    int64    `json:"pieces" doc:"stones on hand"`
	Templates int      `json:"templates"`
	Problems  []string `json:"problems"`
}

// BookFile is the file that the shop's book is in. Fault "book-missing" where there is
// none yet.
type BookFile interface {
	// Check reads all of it.
	Check(ctx context.Context) (BookReport, error)
	// Backup gives a checked copy, as the book is at one moment.
	Backup(ctx context.Context) (io.ReadCloser, error)
}

// bookFile gives the file of the book.
func (s *Server) bookFile() (BookFile, error) {
	if s.opt.BookFile == nil {
		return nil, fault.New("book-missing", "", "this workbench has no book")
	}
	return s.opt.BookFile, nil
}

func (s *Server) bookRoutes() {
	route(s, http.MethodGet, "/api/shop/book", "check-book", "Check the whole book: the file, its references, and that the ledger adds up", 200, func(ctx context.Context, _ *struct{}) (*bodyOf[BookReport], error) {
		f, err := s.bookFile()
		if err != nil {
			return nil, err
		}
		r, err := f.Check(ctx)
		return &bodyOf[BookReport]{r}, err
	})
	huma.Register(s.api, huma.Operation{
		OperationID: "backup-book", Method: http.MethodGet, Path: "/api/shop/book/backup", Summary: "A checked copy of the book as it is now",
		Responses: map[string]*huma.Response{"200": {
			Description: "the file", Content: map[string]*huma.MediaType{"application/octet-stream": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}},
		}},
	}, func(ctx context.Context, _ *struct{}) (*huma.StreamResponse, error) {
		f, err := s.bookFile()
		if err != nil {
			return nil, problemOf(err)
		}
		copied, err := f.Backup(ctx)
		if err != nil {
			return nil, problemOf(err)
		}
		name := "shop-" + s.opt.Now().Format("20060102-150405") + ".book"
		return &huma.StreamResponse{Body: func(c huma.Context) {
			c.SetHeader("Content-Type", "application/octet-stream")
			c.SetHeader("Content-Disposition", `attachment; filename="`+name+`"`)
			_, err := io.Copy(c.BodyWriter(), copied)
			if err := errors.Join(err, copied.Close()); err != nil {
				panic(http.ErrAbortHandler) // so that nobody takes a part of it for a backup
			}
		}}, nil
	})
}
