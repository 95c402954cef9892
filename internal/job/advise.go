package job

import (
	"context"
	"strings"

	"brushfall/internal/advise"
	"brushfall/internal/artwork"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Advise says what stones of the sizes the job's artwork can carry at the job's
// width, every region set by its local width. It looks at artwork, width and
// web alone: the job's own stones, rules and treatments are not asked. The
// warnings are those of the artwork at its full extent. Lettering is part of what is
// looked at, at the size that the job gives it; lettering alone is tried at larger
// sizes too, until it reads. Faults are those of Run for the
// artwork, the lettering and the width.
func Advise(ctx context.Context, j Job, sizes []catalogue.Size, progress Progress) (advise.Report, []artwork.Warning, error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	progress("reading the artwork", 0, 0)
	c, err := j.composed()
	d := c.Drawing
	if err != nil {
		return advise.Report{}, nil, err
	}
	if len(d.Regions) == 0 {
		return advise.Report{}, nil, j.emptyFault(d.Warnings)
	}
	opt := advise.Options{Width: d.Extent().Width(), Sizes: sizes, Web: j.Web.MM(), Far: j.ArtworkName == ""}
	if len(c.letters) == 0 && j.Width > 0 {
		opt.Width = j.Width.MM()
	}
	if opt.Width == 0 {
		return advise.Report{}, nil, fault.New("advice-width", j.subject(), "it is a single upright line and reads at any height; ask about something with a width")
	}
	for _, s := range c.letters {
		opt.Letters = append(opt.Letters, advise.Letters{Text: s.Text, Capital: s.Capital})
	}
	r, err := advise.Run(ctx, d, opt, func(done, total int) { progress("trying stones", done, total) })
	return r, d.Warnings, err
}

// mostReasons bounds the warnings that a fault repeats.
const mostReasons = 3

// emptyFault is for artwork that draws nothing. The warnings of its reader say
// why, and nobody hears them otherwise.
func (j Job) emptyFault(warnings []artwork.Warning) error {
	why := ""
	for _, w := range warnings[:min(mostReasons, len(warnings))] {
		why += "; " + strings.TrimPrefix(w.Where+": ", ": ") + w.Message
	}
	return fault.New("artwork-empty", j.subject(), "there is nothing in it that can hold stones: give it filled shapes or lines%s", why)
}
