package office

import (
	"bytes"
	"context"
	"slices"

	"brushfall/internal/proof"
	"brushfall/internal/shop"
)

// TemplatePicture gives the picture of a template, PNG or JPEG: the one that was kept
// with it, or one drawn by its layout where none was, as of a template that a job
// entered. Nil where the book has neither, or a layout that cannot be drawn: nothing else
// hangs on a picture. Fault "book-damaged".
func TemplatePicture(ctx context.Context, b shop.Templates, t shop.TemplateSet) ([]byte, error) {
	kept, err := b.TemplatePicture(ctx, t.ID)
	if err != nil || kept != nil {
		return kept, err
	}
	files, err := b.TemplateFiles(ctx, t.ID)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(files, func(f shop.TemplateFile) bool { return f.Name == LayoutName })
	if i < 0 {
		return nil, nil
	}
	m, err := ReadMade(files[i].Data)
	if err != nil {
		return nil, nil // of another version, say
	}
	var full bytes.Buffer
	if proof.Render(&full, m.Document, proof.Options{MaxPixels: 2 * pictureSide * pictureSide}) != nil {
		return nil, nil // a colour of another book, say: all else of the template is told without
	}
	return smallPicture(full.Bytes())
}
