package web

import (
	"context"
	"math"
	"mime"
	"path"
	"strconv"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
	"brushfall/internal/job"
)

// outlineBody is the artwork at its size, in mm, with what covers what taken away.
type outlineBody struct {
	Width    float64         `json:"width"`
	Height   float64         `json:"height"`
	Drawings []placedDrawing `json:"drawings"`
	Regions  []regionBody    `json:"regions"`
	Warnings []remark        `json:"warnings"`
}

// placedDrawing is where one of the drawings lies, and how large it is by itself.
type placedDrawing struct {
	File      string     `json:"file"`
	ID        string     `json:"id,omitempty"`
	Box       [4]float64 `json:"box" doc:"x0, y0, x1, y1"`
	OwnWidth  float64    `json:"own_width" doc:"of what is drawn, as it was drawn, mm"`
	OwnHeight float64    `json:"own_height"`
	Turn      float64    `json:"turn" doc:"degrees, clockwise"`
}

type regionBody struct {
	ID      string     `json:"id"`
	D       string     `json:"d" doc:"SVG path data, in mm"`
	Fill    string     `json:"fill,omitempty" doc:"of the artwork, #rrggbb"`
	Stroke  string     `json:"stroke,omitempty"`
	Open    bool       `json:"open"`
	Element string     `json:"element,omitempty"`
	Classes []string   `json:"classes"`
	Groups  []string   `json:"groups"`
	Layer   string     `json:"layer,omitempty"`
	Rule    int        `json:"rule" doc:"the rule that picks it, from 0; -1: the job's own setting"`
	Skipped bool       `json:"skipped"`
	Box     [4]float64 `json:"box" doc:"x0, y0, x1, y1"`
}

func (s *Server) outline(ctx context.Context, in *idIn) (*bodyOf[outlineBody], error) {
	d, err := s.opt.Bench.Design(in.ID)
	if err != nil {
		return nil, err
	}
	desk := s.desks.of(in.ID)
	done, err := desk.wait(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	j, err := desk.read(ctx, s, d.Job, d.Files)
	if err != nil {
		return nil, err
	}
	j = single(j)
	drawing, placed, err := job.Drawing(j, &desk.memory)
	if err != nil {
		return nil, err
	}
	b := outlineBody{Width: micrometre(drawing.Width), Height: micrometre(drawing.Height), Drawings: []placedDrawing{}, Regions: []regionBody{}, Warnings: []remark{}}
	for _, p := range placed {
		b.Drawings = append(b.Drawings, placedDrawing{p.File, p.ID, rounded(p.Box), micrometre(p.OwnWidth), micrometre(p.OwnHeight), micrometre(p.Turn * 180 / math.Pi)})
	}
	for _, r := range drawing.Regions {
		b.Regions = append(b.Regions, outlined(j, r))
	}
	for _, w := range drawing.Warnings {
		b.Warnings = append(b.Warnings, remark{Code: w.Code, Where: w.Where, Message: w.Message})
	}
	return &bodyOf[outlineBody]{b}, nil
}

func outlined(j job.Job, r artwork.Region) regionBody {
	setting, rule := j.SettingFor(r)
	b := regionBody{
		ID: r.ID, Open: r.Open(), Element: r.Element, Classes: append([]string{}, r.Classes...), Groups: append([]string{}, r.Groups...),
		Layer: r.Layer, Rule: rule, Skipped: setting.Skip, D: pathOf(r),
		Box: rounded(r.Bounds()),
	}
	if b.Fill = r.Paint; r.Stroke {
		b.Fill, b.Stroke = "", r.Paint
	}
	return b
}

func rounded(b geom.Box) [4]float64 {
	return [4]float64{micrometre(b.MinX), micrometre(b.MinY), micrometre(b.MaxX), micrometre(b.MaxY)}
}

// pathOf gives path data of SVG 1.1 §8.3, with places to 0.01 mm: finer than a screen.
func pathOf(r artwork.Region) string {
	var d []byte
	add := func(points []geom.Point, end string) {
		for i, p := range points {
			command := byte('L')
			if i == 0 {
				command = 'M'
			}
			d = append(d, command)
			d = appendPlace(d, p.X)
			d = append(d, ' ')
			d = appendPlace(d, p.Y)
		}
		d = append(d, end...)
	}
	for _, ring := range r.Shape.Rings {
		add(ring, "Z")
	}
	for _, l := range r.Lines {
		add(l, "")
	}
	return string(d)
}

func appendPlace(d []byte, v float64) []byte {
	return strconv.AppendFloat(d, math.Round(v*100)/100, 'f', -1, 64)
}

// typeOf gives the media type of a file that is made or was brought.
func typeOf(name string) string {
	ext := path.Ext(name)
	switch ext {
	case ".svg":
		return "image/svg+xml"
	case ".pdf":
		return "application/pdf"
	case ".png":
		return "image/png"
	case ".csv":
		return "text/csv; charset=utf-8"
	case ".json":
		return "application/json"
	case ".yaml":
		return "application/yaml"
	case ".dxf", ".plt":
		return "application/octet-stream"
	}
	if kind, _, err := mime.ParseMediaType(kinds()[ext]); err == nil {
		return kind
	}
	return "application/octet-stream"
}

// asciiOnly makes a name safe within the quotes of a header.
func asciiOnly(name string) string {
	out := []byte{}
	for _, c := range []byte(name) {
		if c < ' ' || c > '~' || c == '"' || c == '\\' {
			c = '_'
		}
		out = append(out, c)
	}
	return string(out)
}
