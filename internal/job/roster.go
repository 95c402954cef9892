package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"brushfall/internal/fault"
	"brushfall/internal/roster"
)

// MostTransfers bounds how many transfers one row may ask for.
const MostTransfers = 10_000

// quantityColumn is the one that says how many transfers of a row are wanted.
const quantityColumn = "quantity"

// Roster is a list made into designs: rows that come to the same are one, whose
// template is brushed as often as they ask for. Faults are all that is wrong with
// the list so far; the rows they are about are in no design. Unused are the columns
// that the job file does not name.
type Roster struct {
	List    roster.List
	Designs []RosterDesign
	Faults  []roster.Fault
	Unused  []string
}

// RosterDesign is one distinct design: its job, the rows that want it (indices into
// the list) and how many transfers they want in all.
type RosterDesign struct {
	Job       Job
	Rows      []int
	Transfers int
	filled    Filled
	key       string // of all that its stones and papers depend on
}

// Prepare finishes a job as it was read: it reads the files that the job names,
// and lays flags over it. It is called for each row.
type Prepare func(Job) (Job, error)

// Compose makes designs of the rows of a list. seed stands for everything beside
// the job file, its artwork and the list that the outcome depends on: the program's
// version and its flags. The error is for what is wrong with the job file itself.
// known are the faults that the list was read with.
func Compose(t Template, l roster.List, known []roster.Fault, seed string, prepare Prepare) (Roster, error) {
	out := Roster{List: l}
	if err := t.CheckFields(l.Columns); err != nil {
		return out, err
	}
	for _, c := range l.Columns {
		if key := roster.Key(c); key != quantityColumn && !slices.ContainsFunc(t.fields, func(f Field) bool { return roster.Key(f.Name) == key }) {
			out.Unused = append(out.Unused, c)
		}
	}
	at := map[string]int{} // values -> design
	for i, r := range l.Rows {
		number, faults := out.quantity(r)
		for _, f := range known {
			if f.Row == r.Number {
				faults = append(faults, f)
			}
		}
		filled, more, err := t.Fill(l, r)
		if err != nil {
			return out, err
		}
		faults = append(faults, more...)
		if len(more) == 0 {
			if filled.Job, err = prepare(filled.Job); err == nil {
				err = filled.Job.rosterable()
			}
			if err != nil {
				faults = append(faults, filled.Blame(err, l, r))
			}
		}
		if len(faults) > 0 {
			out.Faults = append(out.Faults, faults...)
			continue
		}
		values := fmt.Sprintf("%q", filled.Values)
		n, ok := at[values]
		if !ok {
			n = len(out.Designs)
			at[values] = n
			out.Designs = append(out.Designs, RosterDesign{Job: filled.Job, filled: filled})
		}
		d := &out.Designs[n]
		d.Rows, d.Transfers = append(d.Rows, i), d.Transfers+number
	}
	out.name(t)
	for i := range out.Designs {
		out.Designs[i].key = out.Designs[i].digest(seed, t)
	}
	return out, nil
}

// rosterable refuses a job that is more than one design.
func (j Job) rosterable() error {
	if len(j.Widths) > 0 {
		return fault.New("widths", "", "a job file for a list makes one design of a row: write width or height, which may be a field, instead of widths")
	}
	return nil
}

// quantity gives how many transfers a row asks for: 1 where it does not say.
func (r *Roster) quantity(row roster.Row) (int, []roster.Fault) {
	i := r.List.Column(quantityColumn)
	if i < 0 || row.Cells[i] == "" {
		return 1, nil
	}
	n, err := strconv.Atoi(row.Cells[i])
	if err != nil || n < 1 || n > MostTransfers {
		return 0, []roster.Fault{{
			Row: row.Number, Column: r.List.Columns[i], Value: row.Cells[i], Code: "quantity",
			Message: fmt.Sprintf("%q is no number of transfers; write a whole number from 1 to %d, or take the row out of the list", row.Cells[i], MostTransfers),
		}}
	}
	return n, nil
}

// name gives every design a name of its own: where the job file's comes to the same
// for several, with what the fields of the row came to, and if need be a number.
func (r *Roster) name(t Template) {
	times := map[string]int{}
	for _, d := range r.Designs {
		times[d.Job.Design]++
	}
	taken := map[string]bool{}
	for name := range times {
		taken[name] = times[name] == 1
	}
	for i := range r.Designs {
		d := &r.Designs[i]
		if times[d.Job.Design] == 1 {
			continue
		}
		base := d.Job.Design
		if cells := r.cells(t, r.List.Rows[d.Rows[0]]); !strings.Contains(base, cells) {
			base += " " + cells
		}
		name := fitting(base, "")
		for n := 2; taken[name]; n++ {
			name = fitting(base, fmt.Sprintf(" %d", n))
		}
		taken[name] = true
		d.Job.Design = name
	}
}

// cells joins what stands in the columns that the job file names, on one line.
func (r *Roster) cells(t Template, row roster.Row) string {
	var words []string
	for _, f := range t.fields {
		words = append(words, strings.Fields(row.Cells[r.List.Column(f.Name)])...)
	}
	return strings.Join(words, " ")
}

// fitting shortens a name so that it and its ending are no longer than a design's
// may be.
func fitting(name, ending string) string {
	room := longestName - utf8.RuneCountInString(ending)
	if runes := []rune(name); len(runes) > room {
		name = strings.TrimSpace(string(runes[:room]))
	}
	return name + ending
}

// digest is of everything that a design's stones and papers depend on.
func (d RosterDesign) digest(seed string, t Template) string {
	h := sha256.New()
	put := func(parts ...[]byte) {
		for _, p := range parts {
			fmt.Fprintf(h, "%d:", len(p))
			h.Write(p)
		}
	}
	var fits bytes.Buffer
	_ = d.Job.Fits.Write(&fits) // into memory, which takes everything
	letters, art := d.Job.lettersDigest(), d.Job.artworkDigest()
	put([]byte(seed), t.text, fmt.Appendf(nil, "%q", d.filled.Values), []byte(d.Job.Design), []byte(d.Job.ArtworkName), art[:], fits.Bytes(), letters[:], fmt.Appendf(nil, "%+v", d.Job.Stones.Colours()))
	return hex.EncodeToString(h.Sum(nil))
}

// blame gives a fault of a design as one of each row that wants it.
func (r *Roster) blame(d RosterDesign, err error) []roster.Fault {
	var out []roster.Fault
	for _, i := range d.Rows {
		out = append(out, d.filled.Blame(err, r.List, r.List.Rows[i]))
	}
	return out
}

// sorted gives faults in the order of the rows. What is the same for every row of
// several is told once, of the list as a whole.
func (r *Roster) sorted(faults []roster.Fault) []roster.Fault {
	slices.SortStableFunc(faults, func(a, b roster.Fault) int { return a.Row - b.Row })
	rows := map[int]bool{}
	same := len(faults) > 0
	for _, f := range faults {
		rows[f.Row] = true
		same = same && f.Column == "" && f.Code == faults[0].Code
	}
	if same && len(rows) > 1 && len(rows) == len(r.List.Rows) {
		first := faults[0]
		first.Row, first.Message = 0, fmt.Sprintf("every row, such as row %d: %s", faults[0].Row, first.Message)
		return []roster.Fault{first}
	}
	return faults
}
