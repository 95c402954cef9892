package job

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path"
	"slices"
	"strconv"

	"brushfall/internal/count"
	"brushfall/internal/sheet"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// render writes every file of the gang into memory, in the order of Files.
func (r *GangResult) render(ctx context.Context, opt GangOptions) error {
	plan, err := r.plan()
	if err != nil {
		return err
	}
	if r.files, r.Times, err = r.Designs[0].Job.cutFiles(ctx, plan, &r.Notes); err != nil {
		return err
	}
	common, err := r.commonFiles(opt)
	if err != nil {
		return err
	}
	r.files = append(r.files, common...)
	for i := range r.Designs {
		d := &r.Designs[i]
		if d.files, err = d.Job.renderWith(ctx, &d.Result, nil); err != nil {
			return blameDesign(d.Document.Design, err)
		}
		for _, f := range d.files {
			r.files = append(r.files, File{path.Join(d.Folder, f.Name), f.Data})
		}
	}
	return nil
}

// commonFiles writes the files of all but the cut files.
func (r *GangResult) commonFiles(opt GangOptions) ([]File, error) {
	var out []File
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"sheets.json", r.writeSheets},
		{"offcuts.csv", r.writeOffcuts},
		{"counts.csv", func(w io.Writer) error { return count.WriteCSV(w, r.Counts) }},
		{"ticket.pdf", func(w io.Writer) error { return r.writeTicket(w, opt) }},
	} {
		var b bytes.Buffer
		if err := f.write(&b); err != nil {
			return nil, err
		}
		out = append(out, File{f.name, b.Bytes()})
	}
	return out, nil
}

// The record of the common sheets, as sheets.json holds it.
type sheetsRecord struct {
	Version int            `json:"version"`
	Unit    string         `json:"unit"`
	Designs []sheetsDesign `json:"designs"`
	Sheets  []sheetsSheet  `json:"sheets"`
	Tape    sheetsNeed     `json:"tape"`
	Film    sheetsNeed     `json:"film"`
}

type sheetsDesign struct {
	Design    string `json:"design"`
	Folder    string `json:"folder"`
	Templates int    `json:"templates"`
	Transfers int    `json:"transfers,omitempty"`
}

type sheetsSheet struct {
	Number  int            `json:"number"`
	Width   float64        `json:"width"`
	Height  float64        `json:"height"`
	Odd     bool           `json:"odd"`
	Placed  []sheetsPlate  `json:"placed"`
	Offcuts []sheetsOffcut `json:"offcuts"`
}

type sheetsPlate struct {
	Design string  `json:"design"`
	Plate  int     `json:"plate"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Turned bool    `json:"turned"`
}

type sheetsOffcut struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

type sheetsNeed struct {
	Pieces int     `json:"pieces"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"` // 0: off a roll
	Sheets int     `json:"sheets"`
	Length float64 `json:"length"` // off a roll
}

// exact rounds to six decimals, as layout.json does.
func exact(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// writeSheets writes sheets.json; docs/formats/sheets.md is its page.
func (r *GangResult) writeSheets(w io.Writer) error {
	need := func(n count.Need) sheetsNeed {
		return sheetsNeed{n.Covers, exact(n.Width), exact(n.Height), n.Sheets, exact(n.Length)}
	}
	out := sheetsRecord{Version: 1, Unit: "mm", Sheets: []sheetsSheet{}, Tape: need(r.Tape), Film: need(r.Film)}
	frames := map[string][4]float64{}
	for _, d := range r.Designs {
		out.Designs = append(out.Designs, sheetsDesign{d.Document.Design, d.Folder, d.Number, d.Transfers})
		for _, p := range d.Document.Plates {
			frames[d.Document.Design] = p.Frame // the same for all plates of a design
		}
	}
	for _, s := range r.Sheets {
		one := sheetsSheet{Number: s.Number, Width: exact(s.Width), Height: exact(s.Height), Odd: s.Piece != sheet.NoPiece, Offcuts: []sheetsOffcut{}}
		for _, p := range s.Placed {
			f := frames[p.Design]
			wide, high := f[2]-f[0], f[3]-f[1]
			if p.Turned {
				wide, high = high, wide
			}
			one.Placed = append(one.Placed, sheetsPlate{p.Design, p.Plate, exact(p.X), exact(p.Y), exact(wide), exact(high), p.Turned})
		}
		for _, o := range s.Offcuts {
			one.Offcuts = append(one.Offcuts, sheetsOffcut{exact(o.X), exact(o.Y), exact(o.Width), exact(o.Height)})
		}
		out.Sheets = append(out.Sheets, one)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(out)
}

// The columns of a list of odd pieces.
const (
	pieceWidth  = "width mm"
	pieceHeight = "height mm"
	pieceNumber = "number"
)

// writeOffcuts writes offcuts.csv, which the next run can take as its odd pieces,
// rounded down to a tenth of a millimetre.
func (r *GangResult) writeOffcuts(w io.Writer) error {
	rows := [][]string{{pieceWidth, pieceHeight, pieceNumber, "of sheet"}}
	down := func(v float64) string { return decimals(math.Floor(v*10+1e-6)/10, 1) }
	for _, s := range r.Sheets {
		for _, o := range s.Offcuts {
			rows = append(rows, []string{down(o.Width), down(o.Height), "1", strconv.Itoa(s.Number)})
		}
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(rows)
}

// writeTicket writes the paper of the common sheets.
func (r *GangResult) writeTicket(w io.Writer, opt GangOptions) error {
	language := r.Designs[0].Job.Language
	v := wording.In(language)
	in := ticket.GangInput{Language: language}
	for _, d := range r.Designs {
		in.Designs = append(in.Designs, ticket.GangPart{Document: d.Document, Folder: d.Folder, Templates: d.Number, Transfers: d.Transfers, Code: d.Code})
	}
	for _, s := range r.Sheets {
		var left []ticket.Rect
		for _, o := range s.Offcuts {
			left = append(left, ticket.Rect(o))
		}
		in.Sheets = append(in.Sheets, s.Sheet)
		in.Odd = append(in.Odd, s.Piece != sheet.NoPiece)
		in.Left = append(in.Left, left)
	}
	in.Counts = ticketCounts(r.Counts)
	tape, film := v.Say("Tape, a transfer each"), v.Say("Decal film, a transfer each")
	if slices.ContainsFunc(r.Designs, func(d GangDesign) bool { return d.Transfers > 0 }) {
		tape, film = v.Say("Tape, for all transfers"), v.Say("Decal film, for all transfers")
	}
	for _, n := range []struct {
		label string
		need  count.Need
	}{{tape, r.Tape}, {film, r.Film}} {
		if n.need.Covers > 0 {
			in.Facts = append(in.Facts, ticket.Fact{Label: n.label, Value: needWords(v, n.need)})
		}
	}
	in.Facts = append(in.Facts, cuttingTime(v, r.Times)...)
	papers, err := ticket.BuildGang(in)
	if err != nil {
		return err
	}
	paper := opt.Paper
	if paper == "" {
		paper = r.Designs[0].Job.Paper
	}
	return pdf.WriteGang(w, papers, pdf.Options{Paper: pdf.Paper(paper)})
}

// needWords is NeedText in the language of a paper.
func needWords(v wording.Voice, n count.Need) string {
	if n.Height == 0 {
		return v.Say("%[1]s m off a roll of %[2]s", v.Decimal(math.Ceil(n.Length/10)/100, 2), v.Millimetres(n.Width))
	}
	return v.Say("%d sheets, %s", n.Sheets, v.Area(n.Width, n.Height))
}

// NeedText prints "4 sheets, 304.8 × 304.8 mm" or "1.2 m off a roll of 304.8 mm".
func NeedText(n count.Need) string {
	if n.Height == 0 {
		return fmt.Sprintf("%s m off a roll of %s", decimals(math.Ceil(n.Length/10)/100, 2), unit.Length(n.Width))
	}
	noun := "sheets"
	if n.Sheets == 1 {
		noun = "sheet"
	}
	return fmt.Sprintf("%d %s, %s", n.Sheets, noun, ticket.Area(n.Width, n.Height, unit.Millimetre))
}

// ticketCounts gives counts as the papers take them.
func ticketCounts(lines []count.Line) []ticket.Count {
	var out []ticket.Count
	for _, l := range lines {
		out = append(out, ticket.Count{
			Size: l.Size, Colour: l.Colour, Pieces: l.Pieces, Take: l.Take, Gross: l.Gross, Packs: l.Packs, Grams: l.Grams,
		})
	}
	return out
}
