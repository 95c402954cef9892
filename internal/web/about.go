package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"net/http"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/catalogue"
	"brushfall/internal/job"
	"brushfall/internal/proof"
	"brushfall/internal/shop"
)

type aboutSample struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

type aboutSize struct {
	Name     string  `json:"name"`
	Diameter float64 `json:"diameter" doc:"largest stone, mm"`
	Smallest float64 `json:"smallest"`
	Hole     float64 `json:"hole"`
	Gap      float64 `json:"gap" doc:"the tightest gap that one plate holds, mm"`
	Everyday bool    `json:"everyday"`
	Source   string  `json:"source"`
}

type aboutColour struct {
	Name   string `json:"name"`
	Hex    string `json:"hex"`
	AB     bool   `json:"ab"`
	Finish string `json:"finish" enum:"clear,ab,opaque,opal,metal"`
	// Of the shop's own, by its book.
	Own     bool     `json:"own" doc:"the shop entered it"`
	Retired bool     `json:"retired" doc:"the shop buys it no more; designs that have it keep it"`
	Sizes   []string `json:"sizes" doc:"those it comes in; none: all"`
}

type aboutGarment struct {
	Name string `json:"name"`
	Hex  string `json:"hex"`
}

type aboutFace struct {
	Name  string `json:"name"`
	Lined bool   `json:"lined" doc:"letters of single lines"`
}

type aboutLimits struct {
	Upload int `json:"upload" doc:"bytes of one request"`
	Job    int `json:"job" doc:"bytes of a job file"`
	Edits  int `json:"edits" doc:"edits by hand of a design"`
	Rules  int `json:"rules"`
}

type about struct {
	Version   string         `json:"version"`
	Samples   []aboutSample  `json:"samples"`
	Faces     []aboutFace    `json:"faces"`
	Sizes     []aboutSize    `json:"sizes"`
	Colours   []aboutColour  `json:"colours"`
	Garments  []aboutGarment `json:"garments"`
	Materials []string       `json:"materials"`
	Limits    aboutLimits    `json:"limits"`
}

type bodyOf[T any] struct{ Body T }

func (s *Server) aboutRoutes() {
	route(s, http.MethodGet, "/api/about", "about", "What there is to choose from", 200, func(ctx context.Context, _ *struct{}) (*bodyOf[about], error) {
		return &bodyOf[about]{s.about(ctx)}, nil
	})
	route(s, http.MethodPost, "/api/enter", "enter", "Let this window in, with the token of the address", 204, s.enter)
}

func (s *Server) about(ctx context.Context) about {
	a := about{Version: s.opt.Version, Samples: []aboutSample{}, Limits: aboutLimits{mostUpload, job.MostBytes, job.MostEdits, job.MostRules}}
	for _, m := range s.opt.Samples {
		a.Samples = append(a.Samples, aboutSample{m.ID, m.Name})
	}
	for _, f := range lettering.Shipped() {
		a.Faces = append(a.Faces, aboutFace{f.Name(), f.Lined()})
	}
	for _, z := range catalogue.Sizes() {
		a.Sizes = append(a.Sizes, aboutSize{z.Name, z.Largest, z.Smallest, z.Hole, z.Gap(catalogue.Web), z.Everyday, z.DiameterSource})
	}
	colours, err := s.colours(ctx)
	if err != nil { // the page is to open all the same: its shop tells what is wrong with the book
		colours = shop.BuiltInColours()
	}
	for _, c := range colours {
		a.Colours = append(a.Colours, aboutColour{c.Name, c.Shown, c.Finish == catalogue.AB, string(c.Finish), c.Own, c.Retired, append([]string{}, c.Sizes...)})
	}
	for _, g := range proof.Garments() {
		a.Garments = append(a.Garments, aboutGarment{g.Name, g.Hex})
	}
	for _, m := range job.Materials() {
		a.Materials = append(a.Materials, string(m))
	}
	return a
}

type enterIn struct {
	Body struct {
		Token string `json:"token" maxLength:"200"`
	}
}

type enterOut struct {
	Cookie http.Cookie `header:"Set-Cookie"`
}

// enter turns the token into a cookie, which no script can read.
func (s *Server) enter(_ context.Context, in *enterIn) (*enterOut, error) {
	if s.opt.Token == "" || !s.isToken(in.Body.Token) {
		return nil, newProblem(http.StatusUnauthorized, "token-missing", "", "this is not the token of this workbench; open the address that \"brushfall open\" printed last")
	}
	return &enterOut{http.Cookie{Name: cookieName, Value: s.opt.Token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode}}, nil
}

// tagOf names bytes for caches.
func tagOf(data []byte) string {
	sum := sha256.Sum256(data)
	return `"` + hex.EncodeToString(sum[:12]) + `"`
}
