package job

import (
	"cmp"
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"brushfall/internal/count"
	"brushfall/internal/cut"
	"brushfall/internal/cut/pace"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
	"brushfall/internal/layout"
	"brushfall/internal/sheet"
	"brushfall/internal/ticket"
)

// MostTemplates bounds how many templates of one design a gang may ask for.
const MostTemplates = 500

// GangJob is a job of a gang, and how many templates of it are wanted.
type GangJob struct {
	Job
	Number int
}

// GangOptions are what a gang shares. The zero options take the sheet that all
// jobs ask for, no odd pieces, and tape and film in sheets of the trade.
type GangOptions struct {
	Sheet      *Sheet
	Pieces     []sheet.Piece
	Tape, Film count.Stock
	Paper      Paper // of the gang's own ticket
}

// GangDesign is one design of a gang: its folder, how many templates of it there
// are, and the design as Run makes it, but that its sheets are the gang's.
type GangDesign struct {
	Folder    string
	Job       Job
	Number    int
	Transfers int    // to be made; 0: one from each template
	Code      string // that of its ticket; empty: the document's
	Stones    int    // of one transfer, where the document has none
	Result
}

// transfers is how many transfers are counted for.
func (d GangDesign) transfers() int { return cmp.Or(d.Transfers, d.Number) }

// GangResult is what a gang made. Designs are in the order of the jobs. Counts,
// Tape and Film are for all transfers. Findings are those of
// the designs and of the sheets that they share; with any, nothing must be cut.
type GangResult struct {
	Designs  []GangDesign
	Sheets   []sheet.Filled
	Counts   []count.Line
	Tape     count.Need
	Film     count.Need
	Findings []inspect.Finding
	Times    []pace.Estimate // at the cutter, of each sheet
	Notes    []layout.Note   // of the cut files
	files    []File
}

// Files gives the gang's files: sheet-N.svg, .dxf, .plt and .pdf, sheets.json,
// offcuts.csv, counts.csv and ticket.pdf, and then those of each design in its
// own folder, "heron-badge/layout.json".
func (r GangResult) Files() []File { return r.files }

// RunGang takes several jobs through the pipeline and lays their plates out on
// common sheets. A job of several widths is as many designs. Jobs that are the
// same are one, with their numbers added. The same jobs give the same sheets in
// whatever order they come. Faults are those of Run, with the design they are
// about, "gang-empty", "gang-number", "gang-name" for two designs of one name,
// "gang-sheet" where the jobs ask for different sheets or flock, or some are mirrored, and
// "gang-cutter" where they differ in the cutter.
func RunGang(ctx context.Context, jobs []GangJob, opt GangOptions, progress Progress) (GangResult, error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	jobs, err := gathered(jobs)
	if err != nil {
		return GangResult{}, err
	}
	common, err := commonSheet(jobs, opt.Sheet)
	if err != nil {
		return GangResult{}, err
	}
	var out GangResult
	for n, g := range jobs {
		g.Sheet = common
		d, err := layToMake(ctx, g.Job, nil, func(stage string, done, total int) {
			progress(fmt.Sprintf("design %d of %d, %s: %s", n+1, len(jobs), g.Design, stage), done, total)
		})
		if err != nil {
			return GangResult{}, blameDesign(g.Design, err)
		}
		out.Designs = append(out.Designs, GangDesign{Job: g.Job, Number: g.Number, Result: d.result()})
	}
	nameFolders(out.Designs, folderName)
	progress("nesting the plates", 0, 0)
	if err := out.nest(common, opt.Pieces); err != nil {
		return GangResult{}, err
	}
	progress("inspecting", 0, 0)
	out.inspect()
	if err := out.count(opt); err != nil {
		return GangResult{}, err
	}
	if err := ctx.Err(); err != nil {
		return GangResult{}, err
	}
	progress("writing the files", 0, 0)
	return out, out.render(ctx, opt)
}

// blameDesign puts a design's name before the place of a fault.
func blameDesign(name string, err error) error {
	return fault.Placed(err, func(where string) string {
		if strings.HasPrefix(where, name) {
			return where
		}
		return strings.TrimSuffix(fmt.Sprintf("%s, %s", name, where), ", ")
	})
}

// gathered gives a job for each width, and one for those that are the same.
func gathered(jobs []GangJob) ([]GangJob, error) {
	var each []GangJob
	for _, g := range jobs {
		if g.Number < 1 || g.Number > MostTemplates {
			return nil, fault.New("gang-number", g.Design, "%d templates cannot be made; ask for 1 to %d", g.Number, MostTemplates)
		}
		if len(g.Widths) == 0 {
			each = append(each, g)
		}
		for _, w := range g.Widths {
			one := g
			one.Design, one.Width, one.Height, one.Widths = g.Design+" "+w.Name, w.Width, 0, nil
			each = append(each, one)
		}
	}
	var out []GangJob
	for _, g := range each {
		i := slices.IndexFunc(out, func(o GangJob) bool { return o.Design == g.Design })
		switch {
		case i < 0:
			out = append(out, g)
		case !reflect.DeepEqual(out[i].Job, g.Job):
			return nil, fault.New("gang-name", g.Design, "two different jobs are called this; give one of them another name, with design: in its job file")
		default:
			out[i].Number += g.Number
		}
	}
	if len(out) == 0 {
		return nil, fault.New("gang-empty", "", "there is no job to make; name one or more job files")
	}
	return out, nil
}

// commonSheet gives the sheet for all, which one cutter cuts in one way.
func commonSheet(jobs []GangJob, asked *Sheet) (Sheet, error) {
	for _, g := range jobs[1:] {
		if !reflect.DeepEqual(g.Cutter, jobs[0].Cutter) {
			return Sheet{}, fault.New("gang-cutter", "", "%s and %s say different things of the cutter; write cutter: alike in their job files", jobs[0].Design, g.Design)
		}
		if g.Flock != jobs[0].Flock {
			return Sheet{}, fault.New("gang-sheet", "", "%s and %s are made with different flock; make them apart, or write flock: alike in their job files", jobs[0].Design, g.Design)
		}
		if g.Mirror != jobs[0].Mirror {
			return Sheet{}, fault.New("gang-sheet", "", "of %s and %s one is cut mirrored and one is not, so they share no sheet; make them apart, or set mirror alike in their job files", jobs[0].Design, g.Design)
		}
	}
	if asked != nil {
		return *asked, asked.Check()
	}
	first := jobs[0]
	for _, g := range jobs[1:] {
		if g.Sheet != first.Sheet {
			return Sheet{}, fault.New("gang-sheet", "", "%s and %s ask for different sheets; say which one to use, such as --sheet 12x20in or --roll 12in", first.Design, g.Design)
		}
	}
	return first.Sheet, nil
}

// nameFolders makes a folder's name of each design's, "heron-badge", which no
// other has; from gives the name that is wished for.
func nameFolders(designs []GangDesign, from func(design string) string) {
	seen := map[string]bool{}
	for i := range designs {
		base := from(designs[i].Document.Design)
		name := base
		for n := 2; seen[name]; n++ {
			name = fmt.Sprintf("%s-%d", base, n)
		}
		seen[name] = true
		designs[i].Folder = name
	}
}

// folderName keeps letters and digits of any script; all else is a hyphen, also
// the dot, so that no folder is named as a file.
func folderName(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(parts) == 0 {
		return "design"
	}
	return strings.Join(parts, "-")
}

// nest sets the plates of all designs on sheets and gives each design its own.
func (r *GangResult) nest(common Sheet, pieces []sheet.Piece) error {
	var items []sheet.Item
	for _, d := range r.Designs {
		for range d.Number {
			items = append(items, itemsOf(d.Document)...)
		}
	}
	opt := common.options()
	opt.Pieces = pieces
	var err error
	if r.Sheets, err = sheet.Fill(items, opt); err != nil {
		return err
	}
	for i := range r.Designs {
		doc := &r.Designs[i].Document
		doc.Sheets = nil
		for _, s := range r.Sheets {
			own := s.Sheet
			own.Placed = slices.DeleteFunc(slices.Clone(s.Placed), func(p design.Placed) bool { return p.Design != doc.Design })
			if len(own.Placed) > 0 {
				doc.Sheets = append(doc.Sheets, own)
			}
		}
	}
	return nil
}

// documents gives the records of all designs.
func (r *GangResult) documents() []design.Document {
	var out []design.Document
	for _, d := range r.Designs {
		out = append(out, d.Document)
	}
	return out
}

// inspect judges each design, then what they share.
func (r *GangResult) inspect() {
	for i := range r.Designs {
		d := &r.Designs[i]
		d.Findings = Draft{Document: d.Document, Counts: d.Counts}.Inspect()
		r.Findings = append(r.Findings, d.Findings...)
	}
	r.Findings = append(r.Findings, inspect.InspectTogether(r.documents())...)
}

// count adds up stones, tape and film for one transfer from each template.
func (r *GangResult) count(opt GangOptions) error {
	pieces := map[[2]string]int{}
	var kinds []design.Kind
	var tape, film []count.Cover
	for _, d := range r.Designs {
		for _, k := range d.Document.Kinds {
			if !slices.ContainsFunc(kinds, func(o design.Kind) bool { return o.Size == k.Size && o.Colour == k.Colour }) {
				kinds = append(kinds, k)
			}
		}
		for _, l := range d.Counts {
			pieces[[2]string{l.Size, l.Colour}] += l.Pieces * d.transfers()
		}
		if len(d.Document.Plates) > 0 {
			f := d.Document.Plates[0].Frame
			t := count.TapeFor(f[2]-f[0], f[3]-f[1])
			tape = append(tape, count.Cover{Design: d.Document.Design, Width: t.Width, Height: t.Height, Number: d.transfers()})
		}
		if d.Job.Press == ticket.Glass { // which is never pressed: stones go onto film
			c := count.FilmFor(d.Document.Width, d.Document.Height)
			c.Design, c.Number = d.Document.Design, d.transfers()
			film = append(film, c)
		}
	}
	var err error
	if r.Counts, err = count.TallyPieces(pieces, kinds, count.DefaultSpare); err != nil {
		return err
	}
	if r.Tape, err = count.NeedFor(tape, orTrade(opt.Tape)); err != nil {
		return err
	}
	r.Film, err = count.NeedFor(film, orTrade(opt.Film))
	return err
}

func orTrade(s count.Stock) count.Stock {
	if s.Width == 0 {
		return count.TapeSheets()
	}
	return s
}

// plan gives the cuts of the common sheets.
func (r *GangResult) plan() ([]cut.Sheet, error) {
	effort := r.Designs[0].Job.cutEffort()
	return cut.PlanTogether(r.documents(), cut.Options{Effort: effort})
}
