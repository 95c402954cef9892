package job

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"io"
	"slices"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/count"
	"brushfall/internal/cut"
	"brushfall/internal/cut/dxf"
	"brushfall/internal/cut/pace"
	cutpdf "brushfall/internal/cut/pdf"
	"brushfall/internal/cut/svg"
	"brushfall/internal/cut/tour"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
	"brushfall/internal/proof"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

// render writes every file of the result into memory, in the order of Files.
func (j Job) render(ctx context.Context, res *Result) ([]File, error) {
	sheets, err := cut.Plan(res.Document, cut.Options{Effort: j.cutEffort()})
	if err != nil {
		return nil, err
	}
	cuts, times, err := j.cutFiles(ctx, sheets, &res.Notes)
	if err != nil {
		return nil, err
	}
	res.Times = times
	return j.renderWith(ctx, res, cuts)
}

// cutFiles writes sheets in every cut format, and estimates the time of each. A
// sheet that a format cannot hold is left out in that format, with a note.
func (j Job) cutFiles(ctx context.Context, sheets []cut.Sheet, notes *[]layout.Note) (files []File, times []pace.Estimate, err error) {
	writers, err := j.cutWriters()
	if err != nil {
		return nil, nil, err
	}
	for _, s := range sheets {
		times = append(times, j.Cutter.estimate(s))
		for _, f := range writers {
			var b bytes.Buffer
			err := f.write(&b, s)
			if fault.CodeOf(err) == "cut-too-large" { // for this format alone: the others hold the same cuts
				*notes = append(*notes, layout.Note{Code: "cut-left-out", Message: fmt.Sprintf("sheet-%d.%s is left out: %v", s.Number, f.ext, err)})
				continue
			}
			if err == nil {
				err = ctx.Err()
			}
			if err != nil {
				return nil, nil, err
			}
			files = append(files, File{fmt.Sprintf("sheet-%d.%s", s.Number, f.ext), b.Bytes()})
		}
	}
	return files, times, nil
}

// renderWith writes the files of a design, with its cut files, if any, among them.
func (j Job) renderWith(ctx context.Context, res *Result, cuts []File) ([]File, error) {
	var files []File
	add := func(name string, write func(io.Writer) error) error {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return err
		}
		files = append(files, File{name, b.Bytes()})
		return ctx.Err()
	}
	doc := res.Document
	picture, err := proof.Draw(doc, proof.Options{Garment: j.Garment, Sprites: res.sprites})
	if err != nil {
		return nil, err
	}
	// Its file takes as long as the others together: it is written beside them.
	var png bytes.Buffer
	var written errgroup.Group
	written.Go(func() error { return proof.Encode(&png, picture) })
	defer written.Wait()
	if err := add("layout.json", func(w io.Writer) error { return design.Write(w, doc) }); err != nil {
		return nil, err
	}
	files = append(files, cuts...)
	if err := add("counts.csv", func(w io.Writer) error { return count.WriteCSV(w, res.Counts) }); err != nil {
		return nil, err
	}
	if err := add("ticket.pdf", func(w io.Writer) error { return j.ticket(w, res, picture) }); err != nil {
		return nil, err
	}
	if err := written.Wait(); err != nil {
		return nil, err
	}
	files = append(files, File{"proof.png", png.Bytes()})
	return files, nil
}

// cutEffort is how much is tried to shorten the way of the cutter.
func (j Job) cutEffort() tour.Effort {
	if j.Effort == layout.Live {
		return tour.Quick()
	}
	return tour.Thorough()
}

// cutWriter writes a sheet in one of the formats that cutters read.
type cutWriter struct {
	ext   string
	write func(io.Writer, cut.Sheet) error
}

func (j Job) cutWriters() ([]cutWriter, error) {
	plotter, err := j.Cutter.writer()
	if err != nil {
		return nil, err
	}
	drawing := func(w io.Writer, s cut.Sheet) error { return dxf.Write(w, s, j.Cutter.DXF) }
	return []cutWriter{{"svg", svg.Write}, {"dxf", drawing}, {"plt", plotter.Write}, {"pdf", cutpdf.Write}}, nil
}

// Ticket writes the ticket of a result that Run gave for the job, whose Language and
// Paper may be others now: the bytes of ticket.pdf of a run with these.
func (j Job) Ticket(w io.Writer, res Result) error {
	picture, err := proof.Draw(res.Document, proof.Options{Garment: j.Garment, Sprites: res.sprites})
	if err != nil {
		return err
	}
	return j.ticket(w, &res, picture)
}

// ticket writes the papers.
func (j Job) ticket(w io.Writer, res *Result, picture image.Image) error {
	v := wording.In(j.Language)
	times, err := j.workTimes(v, res)
	if err != nil {
		return err
	}
	place, err := proof.PlaceOf(res.Document, proof.Options{Garment: j.Garment})
	if err != nil {
		return err
	}
	across := float64(place.Width) / place.PixelsPerMM
	in := ticket.Input{Language: j.Language, Document: res.Document, Press: j.Press, Across: across, More: slices.Concat(res.facts, times), Fits: fitWords(v, res.Fits), Counts: ticketCounts(res.Counts)}
	if len(res.Document.Plates) > 0 {
		f := res.Document.Plates[0].Frame
		in.Tape = ticket.Tape(count.TapeFor(f[2]-f[0], f[3]-f[1]))
	}
	papers, err := ticket.Build(in)
	if err != nil {
		return err
	}
	return pdf.Write(w, papers, picture, pdf.Options{Paper: pdf.Paper(j.Paper)})
}

// cuttingTime is what the papers say of the time at the cutter.
func cuttingTime(v wording.Voice, times []pace.Estimate) []ticket.Fact {
	sum := 0.0
	for _, t := range times {
		sum += t.Total()
	}
	if sum == 0 {
		return nil
	}
	return []ticket.Fact{{Label: v.Say("Cutting, estimated"), Value: v.Say("about %s", unbroken(About(sum)))}}
}

// unusedNote tells that a rule of the job file picked nothing.
func (r Rule) unusedNote() layout.Note {
	return layout.Note{
		Code:    "rule-unused",
		Message: fmt.Sprintf("the rule of line %d picks no region of the artwork, or earlier rules leave it none: check its match", r.Line),
	}
}

// pairs gives points as the document holds them.
func pairs(points []geom.Point) [][2]float64 {
	out := make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}
