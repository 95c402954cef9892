package job

import (
	"context"
	"fmt"
	"slices"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
)

// notComing is the code for stones of a colour that does not come in their size.
const notComing = "colour-size"

// sizeNotes tells of kinds that there are no stones of: the shop's book says that the
// colour does not come in that size.
func (j Job) sizeNotes(doc design.Document) []layout.Note {
	var out []layout.Note
	for _, k := range doc.Kinds {
		c, err := j.Stones.FindColour(k.Colour)
		if err != nil || c.ComesIn(k.Size) {
			continue
		}
		note := layout.Note{Code: notComing, Message: fmt.Sprintf(
			"%s does not come in %s, says the shop's book, but in %s: choose another size or colour here, or enter that size for it in the shop's catalogue",
			c.Name, k.Size, either(c.Sizes))}
		if i := slices.IndexFunc(doc.Stones, func(s design.Stone) bool { return s.Size == k.Size && s.Colour == k.Colour }); i >= 0 {
			note.Region = doc.Stones[i].Region
		}
		out = append(out, note)
	}
	return out
}

// layToMake is Lay of a job that is to be made: it refuses a design with stones that there
// are none of, fault "colour-size", which can be looked at, but not made.
func layToMake(ctx context.Context, j Job, memory *Memory, progress Progress) (Draft, error) {
	d, err := Lay(ctx, j, memory, progress)
	if err != nil {
		return d, err
	}
	if i := slices.IndexFunc(d.Notes, func(n layout.Note) bool { return n.Code == notComing }); i >= 0 {
		return d, fault.New(notComing, j.subject(), "%s", d.Notes[i].Message)
	}
	return d, nil
}
