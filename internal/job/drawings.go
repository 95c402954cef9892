package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/dxfin"
	"brushfall/internal/artwork/svgin"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/unit"
)

// mostParts bounds the drawings of a design: more than this is a pattern, and wants
// to be drawn as one.
const mostParts = 50

// farthestShare bounds places as shares of the first drawing: beyond, it is a slip.
const farthestShare = 20

// Part is one of several drawings in a design. Data holds the bytes of its File,
// which the caller reads. Of Width and Height one may be given; with neither the
// drawing has its own size. It is turned by Turn radians, clockwise, and its middle,
// that of the box around what is drawn, lies At.
type Part struct {
	File          string
	Data          []byte
	ID            string
	Width, Height unit.Length
	At            Anchor
	Turn          float64
}

// Anchor is a place from the top-left corner of the first drawing's box: shares of
// its width and height, or lengths.
type Anchor [2]struct {
	Share float64
	MM    float64
}

// middle is where drawings lie that are not told where: in the first one's middle.
func middle() Anchor {
	var a Anchor
	a[0].Share, a[1].Share = 0.5, 0.5
	return a
}

// in gives the place in mm for a box.
func (a Anchor) in(box geom.Box) geom.Point {
	return geom.Point{X: box.MinX + a[0].MM + a[0].Share*box.Width(), Y: box.MinY + a[1].MM + a[1].Share*box.Height()}
}

func partFields() []field[Part] {
	return []field[Part]{
		set("file", parseFile, func(p *Part) *string { return &p.File }),
		set("id", parseWord, func(p *Part) *string { return &p.ID }),
		set("width", unit.ParseLength, func(p *Part) *unit.Length { return &p.Width }),
		set("height", unit.ParseLength, func(p *Part) *unit.Length { return &p.Height }),
		whole("at", source.anchor, func(p *Part) *Anchor { return &p.At }),
		set("turn", parseTurn, func(p *Part) *float64 { return &p.Turn }),
	}
}

// readDrawings reads the list of drawings.
func readDrawings(s source, n ast.Node, j *Job) error {
	list, ok := n.(*ast.SequenceNode)
	if !ok || len(list.Values) == 0 {
		return s.fail(n, "job-value", "drawings takes a list; start each with a dash: - {file: heron.svg, width: 9 in}")
	}
	if len(list.Values) > mostParts {
		return s.fail(n, "job-value", "there are %d drawings; at most %d are read", len(list.Values), mostParts)
	}
	for i, node := range list.Values {
		p := Part{At: middle()}
		if err := fill(s, node, "a drawing", &p, partFields()); err != nil {
			return err
		}
		switch {
		case p.File == "":
			return s.fail(node, "artwork-missing", "the drawing names no file; write file: heron.svg")
		case p.Width != 0 && p.Height != 0:
			return s.fail(node, "width-and-height", "width and height are both given; keep one, the other follows from the drawing")
		}
		if p.ID == "" && i > 0 {
			p.ID = fmt.Sprintf("drawing-%d", i+1)
		}
		if slices.ContainsFunc(j.Drawings, func(o Part) bool { return p.ID != "" && o.ID == p.ID }) {
			return s.fail(node, "job-value", "two drawings have the id %q; give each its own", p.ID)
		}
		j.Drawings = append(j.Drawings, p)
	}
	return nil
}

// anchor reads a place: two values, each a share or a length.
func (s source) anchor(n ast.Node) (Anchor, error) {
	list, ok := n.(*ast.SequenceNode)
	if !ok || len(list.Values) != 2 {
		return Anchor{}, s.fail(n, "job-value", "a place is two shares of the first drawing, or two lengths from its corner, in square brackets: [0.5, 0.8] or [120 mm, 40 mm]")
	}
	var out Anchor
	for i, node := range list.Values {
		text, err := s.text(node, "the place")
		if err != nil {
			return out, err
		}
		if v, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(v) <= farthestShare {
			out[i].Share = v
			continue
		}
		if out[i].MM, err = parseSigned(text); err != nil {
			return out, s.within(node, err)
		}
	}
	return out, nil
}

// parseTurn reads how far a drawing is turned. Fault "turn".
func parseTurn(text string) (float64, error) {
	v, err := parseAngle(text)
	if err != nil {
		err = fault.New("turn", "", "%q is no turn; write it in degrees, clockwise, such as 15 deg", text)
	}
	return v, err
}

// hasArtwork says whether the job has any drawing.
func (j Job) hasArtwork() bool { return j.ArtworkName != "" || len(j.Drawings) > 0 }

// ArtworkFiles lists the files of the job's drawings, each once, in their order.
func (j Job) ArtworkFiles() []string {
	var out []string
	if j.ArtworkName != "" {
		out = append(out, j.ArtworkName)
	}
	for _, p := range j.Drawings {
		if !slices.Contains(out, p.File) {
			out = append(out, p.File)
		}
	}
	return out
}

// WithArtwork gives the job with the bytes of one of its ArtworkFiles.
func (j Job) WithArtwork(name string, data []byte) Job {
	if j.ArtworkName == name {
		j.Artwork = data
	}
	j.Drawings = slices.Clone(j.Drawings)
	for i := range j.Drawings {
		if j.Drawings[i].File == name {
			j.Drawings[i].Data = data
		}
	}
	return j
}

// artworkDigest tells jobs apart by their drawings.
func (j Job) artworkDigest() [sha256.Size]byte {
	h := sha256.New()
	fmt.Fprintf(h, "%x\n", sha256.Sum256(j.Artwork))
	for _, p := range j.Drawings {
		sum := sha256.Sum256(p.Data)
		p.Data = nil
		fmt.Fprintf(h, "%q %s\n", fmt.Sprint(p), hex.EncodeToString(sum[:]))
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// ReadArtwork reads a drawing at its own size. Faults are those of its reader, and
// "artwork-kind".
func ReadArtwork(name string, data []byte) (d artwork.Drawing, err error) {
	switch ext := strings.ToLower(path.Ext(name)); ext {
	case ".svg":
		d, err = svgin.Read(bytes.NewReader(data), svgin.Options{})
	case ".dxf":
		d, err = dxfin.Read(bytes.NewReader(data), dxfin.Options{})
	default:
		return d, fault.New("artwork-kind", name, "artwork of the kind %q cannot be read: save it as SVG or DXF", ext)
	}
	return d, fault.Placed(err, func(where string) string { return strings.TrimSpace(name + " " + where) })
}

// PlacedDrawing is where a drawing of a design lies: the box around it in the
// design's mm, and the width and height of what is drawn at its own size.
type PlacedDrawing struct {
	File, ID  string
	Box       geom.Box
	OwnWidth  float64
	OwnHeight float64
	Turn      float64 // radians, clockwise
}

// assembled reads all drawings of the job and puts each in its place, at the size
// that the job asks for.
func (j Job) assembled() (artwork.Drawing, []PlacedDrawing, error) {
	var all artwork.Drawing
	var placed []PlacedDrawing
	var first geom.Box
	for i, p := range j.parts() {
		d, err := ReadArtwork(p.File, p.Data)
		if err != nil {
			return all, nil, err
		}
		if len(d.Regions) == 0 && len(j.Drawings) == 0 {
			return d, nil, nil // the caller tells it of the whole
		}
		own := d.Extent()
		d, err = p.set(d, first)
		if err != nil {
			return all, nil, err
		}
		if i == 0 {
			first = d.Extent()
		}
		placed = append(placed, PlacedDrawing{p.File, p.ID, d.Extent(), own.Width(), own.Height(), p.Turn})
		if len(j.Drawings) > 0 {
			p.name(&d, all.Regions)
		}
		all.Regions = append(all.Regions, d.Regions...)
		all.Warnings = append(all.Warnings, d.Warnings...)
	}
	before := all.Extent()
	all, err := j.toSize(all)
	if err != nil {
		return all, nil, err
	}
	k := 1.0
	if before.Width() > 0 {
		k = all.Width / before.Width()
	} else if before.Height() > 0 {
		k = all.Height / before.Height()
	}
	for i, p := range placed {
		b := p.Box
		placed[i].Box = geom.Box{MinX: k * (b.MinX - before.MinX), MinY: k * (b.MinY - before.MinY), MaxX: k * (b.MaxX - before.MinX), MaxY: k * (b.MaxY - before.MinY)}
	}
	return all, placed, nil
}

// parts gives the drawings as parts; the only one of a plain job has its own size.
func (j Job) parts() []Part {
	if len(j.Drawings) > 0 {
		return j.Drawings
	}
	return []Part{{File: j.ArtworkName, Data: j.Artwork, At: middle()}}
}

// toSize brings the whole to the width or height of the job, with its corner at the
// origin.
func (j Job) toSize(d artwork.Drawing) (artwork.Drawing, error) {
	switch {
	case j.Width > 0:
		return d.FitWidth(j.Width.MM())
	case j.Height > 0:
		return d.FitHeight(j.Height.MM())
	case len(j.Drawings) > 0:
		return d.Scale(1), nil
	}
	return d, fault.New("width-missing", j.ArtworkName, "say how wide the design is to be, for example --width 9.5in, or width: 9.5 in in the job file")
}

// set brings a drawing to its size, turns it and lays its middle where it shall be:
// that of the first at once in the corner.
func (p Part) set(d artwork.Drawing, first geom.Box) (artwork.Drawing, error) {
	var err error
	switch {
	case len(d.Regions) == 0:
		err = fault.New("artwork-empty", p.File, "there is nothing in it that can hold stones: give it filled shapes or lines")
	case p.Width > 0:
		d, err = d.FitWidth(p.Width.MM())
	case p.Height > 0:
		d, err = d.FitHeight(p.Height.MM())
	}
	if err != nil {
		return d, fault.Placed(err, func(string) string { return p.File })
	}
	if p.Turn != 0 {
		d = moved(d, geom.Rotate(p.Turn))
	}
	box := d.Extent()
	if first == (geom.Box{}) {
		return moved(d, geom.Translate(-box.MinX, -box.MinY)), nil
	}
	at := p.At.in(first)
	return moved(d, geom.Translate(at.X-(box.MinX+box.MaxX)/2, at.Y-(box.MinY+box.MaxY)/2)), nil
}

// moved gives a drawing with all its regions mapped.
func moved(d artwork.Drawing, m geom.Affine) artwork.Drawing {
	regions := make([]artwork.Region, len(d.Regions))
	for i, r := range d.Regions {
		regions[i] = r.Transform(m)
	}
	d.Regions = regions
	return d
}

// name puts the drawing's id before those of its regions and among their groups, and
// its file before their places. No two regions of the design have one id then.
func (p Part) name(d *artwork.Drawing, before []artwork.Region) {
	taken := map[string]bool{}
	for _, r := range before {
		taken[r.ID] = true
	}
	for i := range d.Regions {
		r := &d.Regions[i]
		r.Where = strings.TrimSpace(p.File + " " + r.Where)
		id := r.ID
		if p.ID != "" {
			r.Groups = append([]string{p.ID}, r.Groups...)
			id = p.ID + "-" + id
		}
		r.ID = id
		for n := 2; taken[r.ID]; n++ {
			r.ID = fmt.Sprintf("%s-%d", id, n)
		}
		taken[r.ID] = true
	}
	warnings := slices.Clone(d.Warnings)
	for i := range warnings {
		warnings[i].Where = strings.TrimSpace(p.File + " " + warnings[i].Where)
	}
	d.Warnings = warnings
}
