package web

import (
	"bytes"
	"cmp"
	"context"
	"net/http"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/shop"
)

// TemplateRow is a template.
type TemplateRow struct {
	ID        int64   `json:"id"`
	Code      string  `json:"code"`
	Mark      string  `json:"mark"`
	Design    string  `json:"design"`
	Width     float64 `json:"width"`
	Height    float64 `json:"height"`
	Plates    int     `json:"plates"`
	Stones    int     `json:"stones"`
	Customer  string  `json:"customer,omitempty"`
	Place     string  `json:"place"`
	Note      string  `json:"note,omitempty"`
	Condition string  `json:"condition" enum:"good,worn,gone"`
	Uses      int     `json:"uses"`
	Lasts     int     `json:"lasts"`
	Made      string  `json:"made"`
	Last      string  `json:"last,omitempty"`

	Kinds []templateKind `json:"kinds" doc:"of one transfer, the largest first"`
}

type templateKind struct {
	Size   string `json:"size"`
	Colour string `json:"colour"`
	Hex    string `json:"hex,omitempty"`
	Pieces int    `json:"pieces"`
	Take   int    `json:"with_spare"`
}

type eventBody struct {
	At    string `json:"at"`
	What  string `json:"what" enum:"cut,brushed,moved,worn,good,gone"`
	Times int    `json:"times,omitempty"`
	Place string `json:"place,omitempty"`
	Note  string `json:"note,omitempty"`
}

// OfCode names a template.
type OfCode struct {
	Code string `path:"code" maxLength:"100"`
}

func (s *Server) shelfRoutes() {
	shopRoute(s, http.MethodGet, "templates", "templates", "Cut templates that answer to a search, the best first", 200, []TemplateRow{}, func(ctx context.Context, b Shop, in *searchIn) ([]TemplateRow, error) {
		of, err := in.search(s.opt.Now())
		if err != nil {
			return nil, err
		}
		all, err := b.FindTemplates(ctx, of)
		return looked(ctx, b, all, err, looks.templates)
	})
	shopRoute(s, http.MethodGet, "templates/{code}", "template", "The template of a code", 200, TemplateRow{}, func(ctx context.Context, b Shop, in *OfCode) (TemplateRow, error) {
		t, err := b.Template(ctx, in.Code)
		return looked(ctx, b, t, err, looks.template)
	})
	shopRoute(s, http.MethodGet, "templates/{code}/history", "template-history", "What happened to a template, oldest first", 200, []eventBody{}, func(ctx context.Context, b Shop, in *OfCode) ([]eventBody, error) {
		t, err := b.Template(ctx, in.Code)
		if err != nil {
			return nil, err
		}
		all, err := b.TemplateHistory(ctx, t.ID)
		return list(all, func(e shop.TemplateEvent) eventBody {
			return eventBody{moment(e.At), string(e.What), e.Times, e.Place, e.Note}
		}), err
	})
	shopRoute(s, http.MethodPost, "templates/{code}/history", "note-template", "Add to the history of a template", 200, TemplateRow{}, func(ctx context.Context, b Shop, in *struct {
		OfCode
		Body struct {
			What  string `json:"what" enum:"brushed,moved,worn,good,gone"`
			Times int    `json:"times,omitempty" minimum:"0"`
			Place string `json:"place,omitempty"`
			Note  string `json:"note,omitempty"`
		}
	},
	) (TemplateRow, error) {
		t, err := b.NoteTemplate(ctx, s.opt.Now(), in.Code, shop.TemplateEvent{What: shop.TemplateWhat(in.Body.What), Times: in.Body.Times, Place: in.Body.Place, Note: in.Body.Note})
		return looked(ctx, b, t, err, looks.template)
	})
	s.templatePicture()
}

// templatePicture serves the picture of a template, as office.TemplatePicture gives it.
func (s *Server) templatePicture() {
	route(s, http.MethodGet, "/api/shop/templates/{code}/picture", "template-picture", "The picture of a template", 200, func(ctx context.Context, in *OfCode) (*downloadOut, error) {
		missing := fault.New("file-missing", in.Code, "there is no picture of this template")
		if s.opt.Shop == nil {
			return nil, missing
		}
		b, err := s.opt.Shop(ctx, false)
		if err != nil || b == nil {
			return nil, cmp.Or(err, error(missing))
		}
		t, err := b.Template(ctx, in.Code)
		if err != nil {
			return nil, err
		}
		data, err := office.TemplatePicture(ctx, b, t)
		switch {
		case err != nil:
			return nil, err
		case bytes.HasPrefix(data, []byte("\x89PNG")):
			return inline("image/png", data), nil
		case bytes.HasPrefix(data, []byte("\xff\xd8")):
			return inline("image/jpeg", data), nil
		}
		return nil, missing
	})
}

func (l looks) template(t shop.TemplateSet) TemplateRow {
	return TemplateRow{
		t.ID, t.Code, t.Mark, t.Design, t.Width, t.Height, t.Plates, t.Stones, t.Customer, t.Place, t.Note,
		string(t.Condition), t.Uses, t.Lasts, moment(t.Made), moment(t.Last),
		list(t.Kinds, func(k shop.Stones) templateKind {
			return templateKind{k.Kind.Size, k.Kind.Colour, l.hex(k.Kind.Colour), k.Pieces, k.Take}
		}),
	}
}
