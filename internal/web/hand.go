package web

import (
	"context"
	"net/http"

	"brushfall/internal/bench"
	"brushfall/internal/geom"
	"brushfall/internal/job"
)

// farthestSnap is how far a place may be moved to a legal one, in mm: more than the
// largest pitch of the catalogue.
const farthestSnap = 12

func (s *Server) handRoutes() {
	route(s, http.MethodPost, "/api/designs/{id}/snap", "snap", "The nearest place where a stone may stand, beside those of the last layout", 200, s.snap)
	route(s, http.MethodGet, "/api/designs/{id}/row", "row", "The stones of the row that a stone stands in", 200, s.row)
}

type snapIn struct {
	ID   string `path:"id" maxLength:"64"`
	Body struct {
		Region  string  `json:"region"`
		X       float64 `json:"x" doc:"mm"`
		Y       float64 `json:"y"`
		Size    string  `json:"size,omitempty" doc:"of the stone; the region's own if left out"`
		Without *int    `json:"without,omitempty" doc:"the number of the stone that is moved, from 0"`
	}
}

type snapBody struct {
	Legal bool       `json:"legal" doc:"false: there is no such place near"`
	X     float64    `json:"x"`
	Y     float64    `json:"y"`
	At    [2]float64 `json:"at" doc:"the place as an edit has it"`
}

func (s *Server) snap(ctx context.Context, in *snapIn) (*bodyOf[snapBody], error) {
	last, err := s.shown(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	without := -1
	if in.Body.Without != nil {
		without = *in.Body.Without
	}
	at, spot, ok, err := job.SnapTo(last.draft.Document, in.Body.Region, geom.Point{X: in.Body.X, Y: in.Body.Y}, in.Body.Size, without, farthestSnap)
	return &bodyOf[snapBody]{snapBody{ok, micrometre(at.X), micrometre(at.Y), spot}}, err
}

// shown gives the layout of the present revision of a design.
func (s *Server) shown(ctx context.Context, id string) (shown, error) {
	var d bench.Design
	d, err := s.opt.Bench.Design(id)
	if err != nil {
		return shown{}, err
	}
	return s.laid(ctx, d)
}

type rowIn struct {
	ID    string `path:"id" maxLength:"64"`
	Stone int    `query:"stone" minimum:"0" doc:"number of the stone, from 0"`
}

type rowBody struct {
	Stones []int        `json:"stones"`
	At     [][2]float64 `json:"at" doc:"their places as edits have them"`
}

func (s *Server) row(ctx context.Context, in *rowIn) (*bodyOf[rowBody], error) {
	last, err := s.shown(ctx, in.ID)
	if err != nil {
		return nil, err
	}
	doc := last.draft.Document
	b := rowBody{Stones: []int{}, At: [][2]float64{}}
	for _, i := range job.RowOf(doc, in.Stone) {
		b.Stones = append(b.Stones, i)
		b.At = append(b.At, job.SpotOf(doc.Stones[i].X, doc.Stones[i].Y, doc))
	}
	return &bodyOf[rowBody]{b}, nil
}
