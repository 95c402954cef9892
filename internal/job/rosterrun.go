package job

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"brushfall/internal/artwork"
	"brushfall/internal/count"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
	"brushfall/internal/proof"
	"brushfall/internal/roster"
	"brushfall/internal/ticket"
)

// Store keeps what a run of a list has finished, so that one that was stopped can
// go on. Its methods are called from several goroutines.
type Store interface {
	// Get gives what was put under a key, whole and unchanged, if it is there.
	Get(key string) ([]byte, bool)
	Put(key string, data []byte) error
	// Done says whether the files of a part were written and are still whole.
	Done(key string) bool
	Write(key string, files []File) error
}

// RosterOptions say how a list is made. Without a Store it is a dry run: faults,
// counts and sheets, and no files.
type RosterOptions struct {
	Gang       GangOptions
	SkipFaulty bool // make the rows that nothing is wrong with
	Store      Store
}

// RosterResult is what a run made of a list. With Faults, unless they were to be
// skipped, or with findings nothing must be cut. The documents of the designs have
// neither stones nor holes: they are in the files.
type RosterResult struct {
	Roster
	GangResult
	Laid int // designs that were laid out in this run, not taken from the store
}

// RunRoster makes the designs of a list and sets the plates of all on common
// sheets. The same list gives the same files, whatever the number of cores and
// however often the run was stopped. The error is for what has nothing to do with
// single rows: those of RunGang for the sheets, a cancelled context, a store that
// cannot write.
func RunRoster(ctx context.Context, r Roster, opt RosterOptions, progress Progress) (RosterResult, error) {
	out := RosterResult{Roster: r}
	run := &rosterRun{opt: opt, progress: progress, sprites: proof.NewSprites()}
	if progress == nil {
		run.progress = func(string, int, int) {}
	}
	if len(r.Designs) > 0 {
		var jobs []GangJob
		for _, d := range r.Designs {
			jobs = append(jobs, GangJob{d.Job, 1})
		}
		var err error
		if run.common, err = commonSheet(jobs, opt.Gang.Sheet); err != nil {
			return out, err
		}
	}
	if err := run.layAll(ctx, &out); err != nil {
		return out, err
	}
	if out.Faults = out.sorted(out.Faults); len(out.Faults) > 0 && (!opt.SkipFaulty || len(out.GangResult.Designs) == 0) {
		return out, nil
	}
	nameFolders(out.GangResult.Designs, plainFolder)
	run.progress("nesting the plates", 0, 0)
	if err := out.nest(run.common, opt.Gang.Pieces); err != nil {
		return out, err
	}
	out.Findings = append(out.Findings, inspect.InspectTogether(out.documents())...)
	if err := out.count(opt.Gang); err != nil {
		return out, err
	}
	if opt.Store == nil || len(out.Findings) > 0 {
		return out, ctx.Err()
	}
	return out, run.writeAll(ctx, &out)
}

// rosterRun is a run of a list under way.
type rosterRun struct {
	opt      RosterOptions
	common   Sheet
	progress Progress
	keys     []string // of the designs of the result
	sprites  *proof.Sprites
	repeats  layout.Repeats // letters, above all
}

// kept is what the store keeps of a design that was laid out.
type kept struct {
	Document design.Document
	Warnings []artwork.Warning
	Notes    []layout.Note
	Counts   []count.Line
	Fits     []UsedFit
	Findings []inspect.Finding
}

// every does the work for 0 to n−1 on all cores, and tells how far it is. It stops
// at the first error.
func (r *rosterRun) every(ctx context.Context, stage string, n int, work func(ctx context.Context, i int) error) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(1, runtime.GOMAXPROCS(0)))
	var telling sync.Mutex
	done := 0
	r.progress(stage, 0, n)
	for i := range n {
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := work(ctx, i); err != nil {
				return err
			}
			telling.Lock()
			defer telling.Unlock()
			done++
			r.progress(stage, done, n)
			return nil
		})
	}
	return group.Wait()
}

// layAll lays out every design, and gathers what is wrong with any.
func (r *rosterRun) layAll(ctx context.Context, out *RosterResult) error {
	n := len(out.Roster.Designs)
	designs := make([]GangDesign, n)
	faults := make([][]roster.Fault, n)
	findings := make([][]inspect.Finding, n)
	fresh := make([]bool, n)
	err := r.every(ctx, "setting stones", n, func(ctx context.Context, i int) error {
		d := out.Roster.Designs[i]
		j := d.Job
		j.Sheet = r.common
		k, laid, err := r.laid(ctx, j, d.key)
		if err != nil {
			if e, ok := errors.AsType[*fault.Error](err); ok && e.Kind == fault.Input {
				faults[i] = out.blame(d, err)
				return nil
			}
			return err
		}
		fresh[i], findings[i] = laid, k.Findings
		designs[i] = GangDesign{Job: j, Number: 1, Transfers: d.Transfers, Result: k.result()}
		designs[i].lighten()
		return nil
	})
	if err != nil {
		return err
	}
	for i := range n {
		if fresh[i] {
			out.Laid++
		}
		if len(faults[i]) > 0 {
			out.Faults = append(out.Faults, faults[i]...)
			continue
		}
		out.Findings = append(out.Findings, findings[i]...)
		out.GangResult.Designs = append(out.GangResult.Designs, designs[i])
		r.keys = append(r.keys, out.Roster.Designs[i].key)
	}
	return nil
}

// result gives a kept design as Run does before it writes.
func (k kept) result() Result {
	return Result{Document: k.Document, Warnings: k.Warnings, Notes: k.Notes, Counts: k.Counts, Fits: k.Fits}
}

// lighten drops what only the design's own files need, so that a long list fits
// into memory.
func (d *GangDesign) lighten() {
	doc := &d.Document
	d.Code = ticket.Code(*doc)
	d.Stones = len(doc.Stones)
	doc.Stones, doc.Regions = nil, nil
	plates := make([]design.Plate, len(doc.Plates))
	for i, p := range doc.Plates {
		plates[i] = design.Plate{Number: p.Number, Frame: p.Frame, Notch: p.Notch}
	}
	doc.Plates = plates
}

// laid gives a design as it was laid out, from the store if it is there. Both ways
// give the same: what is new goes through the store's form too.
func (r *rosterRun) laid(ctx context.Context, j Job, key string) (k kept, fresh bool, err error) {
	key = partKey("laid", key, fmt.Sprintf("%+v", r.common))
	if r.opt.Store != nil {
		if data, ok := r.opt.Store.Get(key); ok && unpack(data, &k) == nil {
			return k, false, nil
		}
	}
	d, err := layToMake(ctx, j, &Memory{repeats: &r.repeats}, nil)
	if err != nil {
		return k, false, err
	}
	k = kept{d.Document, d.Warnings, d.Notes, d.Counts, d.Fits, d.Inspect()}
	data, err := pack(k)
	if err != nil {
		return k, false, err
	}
	if r.opt.Store != nil {
		if err := r.opt.Store.Put(key, data); err != nil {
			return k, false, err
		}
	}
	return k, true, unpack(data, &k)
}
