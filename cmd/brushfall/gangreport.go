package main

import (
	"bytes"
	"fmt"
	"strings"
	"text/tabwriter"

	"brushfall/internal/count"
	"brushfall/internal/job"
	"brushfall/internal/sheet"
	"brushfall/internal/ticket"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// gangSummary is what gang tells at the end; its JSON is for other programs.
type gangSummary struct {
	Designs  []gangDesignRow `json:"designs"`
	Sheets   []gangSheetRow  `json:"sheets"`
	New      int             `json:"new_sheets"`
	Counts   []countRow      `json:"counts"`
	Tape     gangNeed        `json:"tape"`
	Film     gangNeed        `json:"film"`
	Folder   string          `json:"folder"`
	Files    []string        `json:"files"`
	Warnings []remark        `json:"warnings"`
	total    count.Line
	tape     string
	film     string
}

type gangDesignRow struct {
	Design    string `json:"design"`
	Folder    string `json:"folder"`
	Templates int    `json:"templates"`
	Plates    int    `json:"plates"`
	Stones    int    `json:"stones"`
	Sheets    []int  `json:"sheets"`
}

type gangSheetRow struct {
	Number  int          `json:"number"`
	Width   float64      `json:"width_mm"`
	Height  float64      `json:"height_mm"`
	Odd     bool         `json:"odd_piece"`
	Plates  int          `json:"plates"`
	Offcuts [][2]float64 `json:"offcuts_mm"`
}

type gangNeed struct {
	Transfers int     `json:"transfers"`
	Sheets    int     `json:"sheets"`
	Length    float64 `json:"length_mm"`
}

func gangSummaryOf(res job.GangResult, dir string, files []job.File) gangSummary {
	s := gangSummary{
		Folder: dir, Warnings: []remark{}, total: count.Total(res.Counts),
		Tape: gangNeed{res.Tape.Covers, res.Tape.Sheets, res.Tape.Length}, tape: job.NeedText(res.Tape),
		Film: gangNeed{res.Film.Covers, res.Film.Sheets, res.Film.Length}, film: job.NeedText(res.Film),
	}
	for _, d := range res.Designs {
		row := gangDesignRow{d.Document.Design, d.Folder, d.Number, len(d.Document.Plates), len(d.Document.Stones), nil}
		for _, on := range d.Document.Sheets {
			row.Sheets = append(row.Sheets, on.Number)
		}
		s.Designs = append(s.Designs, row)
		for _, r := range remarks(d.Job, d.Result) {
			r.Where = strings.TrimSpace(d.Document.Design + " " + r.Where)
			s.Warnings = append(s.Warnings, r)
		}
	}
	for _, n := range res.Notes {
		s.Warnings = append(s.Warnings, remark{n.Code, "", n.Message})
	}
	for _, f := range res.Sheets {
		row := gangSheetRow{f.Number, f.Width, f.Height, f.Piece != sheet.NoPiece, len(f.Placed), [][2]float64{}}
		for _, o := range f.Offcuts {
			row.Offcuts = append(row.Offcuts, [2]float64{o.Width, o.Height})
		}
		if !row.Odd {
			s.New++
		}
		s.Sheets = append(s.Sheets, row)
	}
	for _, c := range res.Counts {
		s.Counts = append(s.Counts, countRow{c.Size, c.Colour, c.Pieces, c.Take, c.Gross, c.Grams})
	}
	for _, f := range files {
		s.Files = append(s.Files, f.Name)
	}
	return s
}

// reportGang prints the summary.
func (a *app) reportGang(s gangSummary) error {
	if a.json {
		a.print(s)
		return nil
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s on %s\n\n", many(len(s.Designs), "design"), flockWords(s.New, len(s.Sheets)))
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  design\ttemplates\tplates of each\tstones of each\ton sheets")
	for _, d := range s.Designs {
		fmt.Fprintf(t, "  %s\t%d\t%d\t%d\t%s\n", d.Design, d.Templates, d.Plates, d.Stones, listed(d.Sheets))
	}
	fmt.Fprintln(t)
	fmt.Fprintln(t, "  sheet\tsize\tplates\tleft over")
	for _, one := range s.Sheets {
		size := ticket.Area(one.Width, one.Height, unit.Millimetre)
		if one.Odd {
			size += ", odd piece"
		}
		var left []string
		for _, o := range one.Offcuts {
			left = append(left, ticket.Rect{Width: o[0], Height: o[1]}.Size(wording.Voice{}))
		}
		fmt.Fprintf(t, "  %d\t%s\t%d\t%s\n", one.Number, size, one.Plates, strings.Join(left, "; "))
	}
	t.Flush()
	fmt.Fprintln(&b, "\nStones to lay out for one transfer from each template (a few spare included):")
	printCounts(&b, summary{Counts: s.Counts, total: s.total})
	fmt.Fprintf(&b, "\nTape: %s\n", s.tape)
	if s.Film.Transfers > 0 {
		fmt.Fprintf(&b, "Decal film: %s\n", s.film)
	}
	printRemarks(&b, s.Warnings)
	fmt.Fprintf(&b, "\nIn the folder %s:\n", s.Folder)
	t = tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  sheet-1.svg .dxf .plt .pdf …\tthe sheets for the cutter (one of the kinds is enough)")
	fmt.Fprintln(t, "  ticket.pdf\tprint this: what lies where, stones, tape, offcuts")
	fmt.Fprintln(t, "  counts.csv\tthe stones for all")
	fmt.Fprintln(t, "  offcuts.csv\twhat is left over, for --pieces of the next run")
	fmt.Fprintln(t, "  sheets.json\tevery sheet, for other programs")
	for _, d := range s.Designs {
		fmt.Fprintf(t, "  %s\tits own ticket, counts, picture and layout.json\n", d.Folder)
	}
	t.Flush()
	_, err := b.WriteTo(a.out)
	return err
}

// flockWords says what the plates lie on: "2 new sheets of flock and 1 odd piece".
func flockWords(fresh, all int) string {
	words := many(fresh, "new sheet") + " of flock"
	if odd := all - fresh; odd > 0 {
		words += " and " + many(odd, "odd piece")
	}
	return words
}

// listed prints "1, 2, 4".
func listed(numbers []int) string {
	var words []string
	for _, n := range numbers {
		words = append(words, fmt.Sprint(n))
	}
	return strings.Join(words, ", ")
}
