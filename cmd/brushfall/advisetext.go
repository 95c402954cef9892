package main

import (
	"bytes"
	"context"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/fault"
	"brushfall/internal/job"
	"brushfall/internal/unit"
)

// askedCapital is the height of a capital, in mm, from which a word's is sought where
// none is asked about: the middle of what is usual on shirts (common practice).
const askedCapital = 25

// adviseText says from which height a word reads.
func (a *app) adviseText(ctx context.Context, f adviseFlags) error {
	capital := unit.Length(askedCapital)
	if f.height != "" {
		if err := flagged("--height", f.height, unit.ParseLength, &capital); err != nil {
			return err
		}
	}
	sizes, err := f.sizes()
	if err != nil {
		return err
	}
	p := lettering.DefaultPiece(f.text)
	p.Face, p.Height = f.face, lettering.Measure{MM: capital.MM()}
	j := job.Default("")
	j.Lettering = []lettering.Piece{p}
	if err := p.Check(); err != nil {
		return err
	}
	if err := readFaces(&j, "."); err != nil {
		return err
	}
	face, err := lettering.Sheet{Faces: j.Faces}.Find(f.face)
	if err != nil {
		return err
	}
	bar := newBar(a.err)
	report, warnings, err := job.Advise(ctx, j, sizes, bar.progress)
	bar.clear()
	if fault.CodeOf(err) == "artwork-empty" {
		err = fault.New("lettering-empty", "--text", "there is nothing to be seen of %q", f.text)
	}
	if err != nil {
		return err
	}
	if a.json {
		a.print(advice{report, remarks(j, job.Result{Warnings: warnings})})
		return nil
	}
	var b bytes.Buffer
	if err := report.TableOfText(&b, face.Name(), f.height != ""); err != nil {
		return err
	}
	_, err = b.WriteTo(a.out)
	return err
}
