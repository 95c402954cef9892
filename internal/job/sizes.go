package job

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// SizeRun is the design at one width.
type SizeRun struct {
	NamedWidth
	Result
}

// SizesResult is what a size run made: the design at each width, in the order
// of the job. A run one of whose designs has findings must not be cut.
type SizesResult struct {
	Runs  []SizeRun
	table File
}

// Files gives the files of every width in its own folder, "7in/layout.json", and
// then the table of all, sizes.csv.
func (r SizesResult) Files() []File {
	var out []File
	for _, run := range r.Runs {
		for _, f := range run.Files() {
			out = append(out, File{path.Join(run.Name, f.Name), f.Data})
		}
	}
	return append(out, r.table)
}

// RunSizes makes the design of a job at each of its widths, laid out anew with
// the same stones: every design is what Run makes of that width. The widest
// comes first, so that one too large for a sheet is told at once. Faults are
// those of Run, with the width they are about, and "widths" for a job without any.
func RunSizes(ctx context.Context, j Job, progress Progress) (SizesResult, error) {
	if len(j.Widths) == 0 {
		return SizesResult{}, fault.New("widths", "", "say at which widths the design shall be made, such as 7in,9in,11in")
	}
	if progress == nil {
		progress = func(string, int, int) {}
	}
	for _, p := range j.parts() { // the same at every width
		if _, err := ReadArtwork(p.File, p.Data); j.hasArtwork() && err != nil {
			return SizesResult{}, err
		}
	}
	order := make([]int, len(j.Widths))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(j.Widths[b].Width, j.Widths[a].Width) })
	out := SizesResult{Runs: make([]SizeRun, len(j.Widths))}
	for n, i := range order {
		w := j.Widths[i]
		one := j
		one.Width, one.Height, one.Widths = w.Width, 0, nil
		res, err := Run(ctx, one, func(stage string, done, total int) {
			progress(fmt.Sprintf("size %d of %d, %s: %s", n+1, len(order), w.Name, stage), done, total)
		})
		if err != nil {
			return SizesResult{}, w.blame(err)
		}
		out.Runs[i] = SizeRun{w, res}
	}
	var b bytes.Buffer
	if err := writeSizes(&b, out.Runs); err != nil {
		return SizesResult{}, err
	}
	out.table = File{"sizes.csv", b.Bytes()}
	return out, nil
}

// blame puts the width before the place of a fault.
func (w NamedWidth) blame(err error) error {
	return fault.Placed(err, func(where string) string {
		return strings.TrimSuffix(fmt.Sprintf("width %s, %s", w.Name, where), ", ")
	})
}
