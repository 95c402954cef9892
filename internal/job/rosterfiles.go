package job

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/mozillazg/go-unidecode"

	"brushfall/internal/cut"
	"brushfall/internal/cut/pace"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/layout"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// partKey names a part of a run by what it depends on.
func partKey(kind string, on ...string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%q", on))
	return kind + "-" + hex.EncodeToString(sum[:])
}

// pack and unpack turn a part into bytes and back, to the last bit of every figure.
func pack(v any) ([]byte, error) {
	data, err := json.Marshal(v)
	if err != nil {
		return nil, fault.Wrap("roster-part", err)
	}
	return data, nil
}

func unpack[T any](data []byte, into *T) error {
	var v T
	if err := json.Unmarshal(data, &v); err != nil {
		return fault.Wrap("roster-part", err)
	}
	*into = v
	return nil
}

// longestFolder bounds a folder's name, as some systems bound whole paths.
const longestFolder = 60

// reserved are names that Windows keeps for devices.
func reserved(name string) bool {
	return slices.Contains([]string{"con", "prn", "aux", "nul"}, name) ||
		len(name) == 4 && (strings.HasPrefix(name, "com") || strings.HasPrefix(name, "lpt")) && unicode.IsDigit(rune(name[3]))
}

// plainFolder makes a folder's name of a design's that every system takes: small
// letters of ASCII, digits and hyphens. Other letters are written as those that
// sound or look like them.
func plainFolder(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(unidecode.Unidecode(name)), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9')
	})
	out := strings.Join(parts, "-")
	if len(out) > longestFolder {
		out = strings.TrimRight(out[:longestFolder], "-")
	}
	if out == "" || reserved(out) {
		out = strings.TrimSuffix("design-"+out, "-")
	}
	return out
}

// writeAll writes the files of every design and every sheet, and of all together.
func (r *rosterRun) writeAll(ctx context.Context, out *RosterResult) error {
	designs, sheets := out.GangResult.Designs, out.Sheets
	err := r.every(ctx, "writing the designs", len(designs), func(ctx context.Context, i int) error {
		return r.writeDesign(ctx, designs[i], r.keys[i])
	})
	if err != nil {
		return err
	}
	told := make([]sheetTold, len(sheets))
	err = r.every(ctx, "writing the sheets", len(sheets), func(ctx context.Context, i int) (err error) {
		told[i], err = r.writeSheet(ctx, out, i)
		return err
	})
	if err != nil {
		return err
	}
	for _, t := range told {
		out.Times, out.Notes = append(out.Times, t.Times...), append(out.Notes, t.Notes...)
	}
	files, err := out.commonFiles(r.opt.Gang)
	if err != nil {
		return err
	}
	var rows bytes.Buffer
	if err := out.writeRows(&rows); err != nil {
		return err
	}
	files = append(files, File{"roster.csv", rows.Bytes()})
	key := sha256.New()
	for _, f := range files {
		fmt.Fprintf(key, "%q %x", f.Name, sha256.Sum256(f.Data))
	}
	if key := partKey("all", string(key.Sum(nil))); !r.opt.Store.Done(key) {
		return r.opt.Store.Write(key, files)
	}
	return ctx.Err()
}

// writeDesign writes the files of a design into its folder.
func (r *rosterRun) writeDesign(ctx context.Context, d GangDesign, key string) error {
	on, err := pack(d.Document.Sheets)
	if err != nil {
		return err
	}
	part := partKey("design", key, string(on), d.Folder, strconv.Itoa(d.Transfers), string(r.opt.Gang.Paper), string(d.Job.Language), d.Document.Design, fmt.Sprint(d.Job.Works))
	if r.opt.Store.Done(part) {
		return nil
	}
	k, _, err := r.laid(ctx, d.Job, key)
	if err != nil {
		return blameDesign(d.Document.Design, err)
	}
	res := k.result()
	res.Document.Sheets = d.Document.Sheets
	res.sprites = r.sprites
	res.facts = []ticket.Fact{{Label: wording.In(d.Job.Language).Say("Transfers to make"), Value: strconv.Itoa(d.Transfers)}}
	files, err := d.Job.renderWith(ctx, &res, nil)
	if err != nil {
		return blameDesign(d.Document.Design, err)
	}
	for i := range files {
		files[i].Name = path.Join(d.Folder, files[i].Name)
	}
	return r.opt.Store.Write(part, files)
}

// sheetTold is what the making of a sheet tells beside its files.
type sheetTold struct {
	Times []pace.Estimate
	Notes []layout.Note
}

// writeSheet writes the cut files of one sheet.
func (r *rosterRun) writeSheet(ctx context.Context, out *RosterResult, n int) (told sheetTold, err error) {
	s := out.Sheets[n].Sheet
	placed, err := pack(s)
	if err != nil {
		return told, err
	}
	on := []string{string(placed)}
	var here []int
	for i, d := range out.GangResult.Designs {
		if slices.ContainsFunc(s.Placed, func(p design.Placed) bool { return p.Design == d.Document.Design }) {
			here, on = append(here, i), append(on, r.keys[i])
		}
	}
	part, words := partKey("sheet", on...), partKey("told", on...)
	if data, ok := r.opt.Store.Get(words); ok && r.opt.Store.Done(part) && unpack(data, &told) == nil {
		return told, nil
	}
	var docs []design.Document
	for _, i := range here {
		d := out.GangResult.Designs[i]
		k, _, err := r.laid(ctx, d.Job, r.keys[i])
		if err != nil {
			return told, blameDesign(d.Document.Design, err)
		}
		doc := k.Document
		doc.Sheets = slices.DeleteFunc(slices.Clone(d.Document.Sheets), func(o design.Sheet) bool { return o.Number != s.Number })
		docs = append(docs, doc)
	}
	first := out.GangResult.Designs[0].Job
	plan, err := cut.PlanTogether(docs, cut.Options{Effort: first.cutEffort()})
	if err != nil {
		return told, err
	}
	told = sheetTold{}
	files, times, err := first.cutFiles(ctx, plan, &told.Notes)
	if err != nil {
		return told, err
	}
	told.Times = times
	data, err := pack(told)
	if err != nil {
		return told, err
	}
	if err := r.opt.Store.Put(words, data); err != nil {
		return told, err
	}
	return told, r.opt.Store.Write(part, files)
}

// writeRows writes roster.csv: every row of the list that was made, with its design.
func (out *RosterResult) writeRows(w io.Writer) error {
	rows := [][]string{append([]string{"row"}, out.List.Columns...)}
	rows[0] = append(rows[0], "transfers", "design", "folder", "stones of each", "on sheets")
	type line struct {
		number int
		cells  []string
	}
	var lines []line
	made := map[string]GangDesign{}
	for _, d := range out.GangResult.Designs {
		made[d.Document.Design] = d
	}
	for _, d := range out.Roster.Designs {
		g, ok := made[d.Job.Design]
		if !ok {
			continue
		}
		var sheets []string
		for _, s := range g.Document.Sheets {
			sheets = append(sheets, strconv.Itoa(s.Number))
		}
		for _, i := range d.Rows {
			row := out.List.Rows[i]
			number, _ := out.quantity(row)
			cells := append([]string{strconv.Itoa(row.Number)}, row.Cells...)
			cells = append(cells, strconv.Itoa(number), d.Job.Design, g.Folder, strconv.Itoa(g.Stones), strings.Join(sheets, " "))
			lines = append(lines, line{row.Number, cells})
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int { return a.number - b.number })
	for _, l := range lines {
		rows = append(rows, l.cells)
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	return c.WriteAll(rows)
}
