package shop

import (
	"context"
	"time"
)

// Templates keeps the templates that were cut, as Book keeps the stones. A
// template's history is only added to. Faults beyond those of Book and of the
// rules: "template-unknown" for a code that the book does not have,
// "template-several" for one that several templates answer to.
type Templates interface {
	// AddTemplate enters a set of templates and gives it a code that no other has.
	// Fault "customer-unknown".
	AddTemplate(ctx context.Context, at time.Time, n NewTemplate) (TemplateSet, error)
	// Template gives the one of a code as someone types it: the book's code, or what
	// the frames say.
	Template(ctx context.Context, code string) (TemplateSet, error)
	// TemplateHistory gives what happened to a template, oldest first.
	TemplateHistory(ctx context.Context, id int64) ([]TemplateEvent, error)
	// TemplateFiles gives the files that a template can be cut again from.
	TemplateFiles(ctx context.Context, id int64) ([]TemplateFile, error)
	// TemplatePicture gives its picture, PNG or JPEG; nil: none.
	TemplatePicture(ctx context.Context, id int64) ([]byte, error)
	// NoteTemplate adds to the history of the template of a code, and gives it as it
	// is then.
	NoteTemplate(ctx context.Context, at time.Time, code string, e TemplateEvent) (TemplateSet, error)
	// WhatToBrush gives what Brushable says of all templates and the stones that are free.
	WhatToBrush(ctx context.Context, q BrushQuestion) ([]Brushing, error)
	// FreeStones gives what is on hand of each kind, over all places, less what open
	// jobs have reserved; below nothing where more is promised than there is.
	FreeStones(ctx context.Context) (map[Kind]int, error)
	// FindTemplates gives those that answer to a search, the best first.
	FindTemplates(ctx context.Context, s Search) ([]TemplateSet, error)
}
