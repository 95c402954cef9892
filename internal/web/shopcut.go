package web

import (
	"context"
	"io"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"

	"brushfall/internal/catalogue"
	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// brushBody is whether a template can be brushed with the stones that are free.
type brushBody struct {
	TemplateRow
	Can       bool           `json:"can"`
	Transfers int            `json:"transfers" doc:"for how many the stones suffice"`
	Missing   []wantedStones `json:"missing"`
	Swaps     []swapBody     `json:"substitutes"`
}

type swapBody struct {
	Size  string  `json:"size"`
	For   string  `json:"for" doc:"the colour that is short"`
	By    string  `json:"by"`
	Apart float64 `json:"apart" doc:"CIEDE2000 on the screen: below 10 alike, above 30 another colour"`
}

type newTemplateIn struct {
	Body struct {
		Run      string   `json:"run" maxLength:"64" doc:"of the design that was cut"`
		Place    string   `json:"place,omitempty"`
		Customer int64    `json:"customer,omitempty"`
		Note     string   `json:"note,omitempty"`
		Lasts    int      `json:"lasts,omitempty" minimum:"0" doc:"transfers; 0: 300"`
		Keep     []string `json:"keep,omitempty" enum:"svg,dxf,plt,pdf" doc:"kinds of cut files; left out: all of them"`
	}
}

func (s *Server) cutRoutes() {
	shopRoute(s, http.MethodPost, "templates", "add-template", "Enter the templates of a run that were cut", 201, TemplateRow{}, s.addTemplate)
	shopRoute(s, http.MethodGet, "templates/can-brush", "can-brush", "What can be brushed with the stones on hand, and what nearly", 200, []brushBody{}, func(ctx context.Context, b Shop, in *struct {
		Transfers  int  `query:"transfers" minimum:"1" maximum:"100000" default:"1"`
		Substitute bool `query:"substitute" doc:"let other colours of the same size stand in"`
		All        bool `query:"all" doc:"also those that much is missing of"`
		Most       int  `query:"most" minimum:"0" maximum:"1000" default:"50"`
	},
	) ([]brushBody, error) {
		all, err := b.WhatToBrush(ctx, office.BrushQuestion(in.Transfers, in.Substitute, in.All, in.Most))
		return looked(ctx, b, all, err, looks.brushings)
	})
	shopFile(s, "templates/{code}/files.zip", "template-files", "The layout and the cut files of a template, byte for byte as they were", func(ctx context.Context, b Shop, w io.Writer, in *OfCode) error {
		t, err := b.Template(ctx, in.Code)
		if err != nil {
			return err
		}
		kept, err := b.TemplateFiles(ctx, t.ID)
		if err != nil {
			return err
		}
		data, err := zipped(list(kept, func(f shop.TemplateFile) job.File { return job.File{Name: path.Base(f.Name), Data: f.Data} }))
		if err == nil {
			_, err = w.Write(data)
		}
		return err
	})
}

func (l looks) brush(b shop.Brushing) brushBody {
	return brushBody{
		l.template(b.Template), b.Can(), b.Transfers,
		list(b.Missing, func(w shop.Want) wantedStones { return wantedStones{w.Kind.Size, w.Kind.Colour, w.Pieces} }),
		list(b.Swaps, func(w shop.Swap) swapBody { return swapBody{w.For.Size, w.For.Colour, w.By.Colour, w.Apart} }),
	}
}

// addTemplate enters the templates of a run, as "template add" does of a folder.
func (s *Server) addTemplate(ctx context.Context, b Shop, in *newTemplateIn) (TemplateRow, error) {
	made, files, err := s.madeOf(in.Body.Run)
	if err != nil {
		return TemplateRow{}, err
	}
	kinds := in.Body.Keep
	if kinds == nil {
		kinds = office.CutKinds()
	}
	n, err := office.TemplateOf(made, kinds, func(name string) ([]byte, error) {
		i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == name })
		if i < 0 {
			return nil, nil
		}
		return files[i].Data, nil
	})
	if err != nil {
		return TemplateRow{}, err
	}
	n.Place, n.Note, n.Customer, n.Lasts = in.Body.Place, in.Body.Note, in.Body.Customer, in.Body.Lasts
	t, err := b.AddTemplate(ctx, s.opt.Now(), n)
	return looked(ctx, b, t, err, looks.template)
}

// searchIn is what templates are looked for by; all that is given must hold.
type searchIn struct {
	Words    string   `query:"words" maxLength:"200"`
	Colour   []string `query:"colour,explode" maxItems:"20"`
	Size     []string `query:"size,explode" maxItems:"20"`
	Customer int64    `query:"customer"`
	Place    string   `query:"place" maxLength:"100"`
	Since    string   `query:"since" maxLength:"10" doc:"day it was cut, or later"`
	Until    string   `query:"until" maxLength:"10" doc:"day it was cut, or earlier"`
	Gone     bool     `query:"gone"`
	Most     int      `query:"most" minimum:"1" maximum:"500" default:"100"`
}

// search reads it; days begin at midnight where now is told.
func (in searchIn) search(now time.Time) (shop.Search, error) {
	s := shop.Search{Words: in.Words, Place: in.Place, Customer: in.Customer, Gone: in.Gone, Most: in.Most}
	for _, name := range in.Size {
		size, err := catalogue.FindSize(name)
		if err != nil {
			return s, err
		}
		s.Sizes = append(s.Sizes, size.Name)
	}
	for _, name := range in.Colour {
		s.Colours = append(s.Colours, strings.ToLower(strings.Join(strings.Fields(name), " ")))
	}
	for text, day := range map[string]*time.Time{in.Since: &s.Since, in.Until: &s.Until} {
		if text == "" {
			continue
		}
		at, err := office.ParseDay(text)
		if err != nil {
			return s, err
		}
		*day = time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, now.Location())
	}
	if !s.Until.IsZero() {
		s.Until = s.Until.AddDate(0, 0, 1) // its whole day
	}
	return s, nil
}
