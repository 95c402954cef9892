package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"brushfall/internal/count"
	"brushfall/internal/inspect"
	"brushfall/internal/job"
	"brushfall/internal/unit"
)

// summary is what make tells at the end; its JSON is for other programs.
type summary struct {
	Design   string     `json:"design"`
	Width    float64    `json:"width_mm"`
	Height   float64    `json:"height_mm"`
	Stones   int        `json:"stones"`
	Counts   []countRow `json:"counts"`
	Fits     []fitRow   `json:"fits"`
	Plates   []plateRow `json:"plates"`
	Least    leastRow   `json:"least"`
	Sheets   int        `json:"sheets"`
	Cutting  []timeRow  `json:"cutting"`
	Works    []workRow  `json:"works"`
	Folder   string     `json:"folder"`
	Files    []string   `json:"files"`
	Warnings []remark   `json:"warnings"`
	total    count.Line
}

type countRow struct {
	Size   string  `json:"size"`
	Colour string  `json:"colour"`
	Pieces int     `json:"pieces"`
	Take   int     `json:"take"`
	Gross  int     `json:"gross"`
	Grams  float64 `json:"grams"`
}

// timeRow is the estimated time at the cutter for one sheet.
type timeRow struct {
	Sheet  int     `json:"sheet"`
	Moving float64 `json:"moving_s"`
	Lifts  float64 `json:"lifts_s"`
	Cuts   int     `json:"cuts"`
}

// fitRow is the fit that a size's holes were made with.
type fitRow struct {
	Size   string  `json:"size"`
	Fit    float64 `json:"fit_mm"`
	Hole   float64 `json:"hole_mm"`
	Own    bool    `json:"own"`
	Source string  `json:"source"`
}

type plateRow struct {
	Number int      `json:"number"`
	Holes  int      `json:"holes"`
	Order  []string `json:"order"`
}

// leastRow is the proof of the number of plates.
type leastRow struct {
	Plates int    `json:"plates"`
	Why    string `json:"why"`
}

// remark is a warning of the artwork or a note of the layout.
type remark struct {
	Code    string `json:"code"`
	Where   string `json:"where,omitempty"`
	Message string `json:"message"`
}

func summarise(j job.Job, res job.Result, dir string, files []job.File) summary {
	doc := res.Document
	s := summary{
		Design: doc.Design, Width: doc.Width, Height: doc.Height, Stones: len(doc.Stones),
		Sheets: len(doc.Sheets), Folder: dir, Works: workRows(j), Warnings: remarks(j, res), total: count.Total(res.Counts),
	}
	for _, c := range res.Counts {
		s.Counts = append(s.Counts, countRow{c.Size, c.Colour, c.Pieces, c.Take, c.Gross, c.Grams})
	}
	for _, u := range res.Fits {
		s.Fits = append(s.Fits, fitRow(u))
	}
	for _, p := range doc.Plates {
		s.Plates = append(s.Plates, plateRow{p.Number, len(p.Holes), p.Order})
	}
	if doc.Least != nil {
		s.Least = leastRow(*doc.Least)
	}
	for i, t := range res.Times {
		s.Cutting = append(s.Cutting, timeRow{i + 1, t.Moving, t.Lifts, t.Cuts})
	}
	for _, f := range files {
		s.Files = append(s.Files, f.Name)
	}
	return s
}

// remarks puts the warnings of the artwork before the notes of the layout.
func remarks(j job.Job, res job.Result) []remark {
	out := []remark{}
	for _, w := range res.Warnings {
		out = append(out, remark{w.Code, joined(j.ArtworkName, w.Where), w.Message})
	}
	for _, n := range res.Notes {
		where := ""
		if n.Region != "" {
			where = fmt.Sprintf("region %q", n.Region)
		}
		out = append(out, remark{n.Code, where, n.Message})
	}
	return out
}

func joined(file, where string) string {
	return strings.TrimSpace(file + " " + where)
}

// report prints the summary. Its text is gathered first, so that there is one
// write and one error.
func (a *app) report(s summary) error {
	if a.json {
		a.print(s)
		return nil
	}
	var b bytes.Buffer
	w, h := unit.Length(s.Width), unit.Length(s.Height)
	fmt.Fprintf(&b, "%s: %s on %s, %s of flock\n", s.Design, many(s.Stones, "stone"), many(len(s.Plates), "plate"), many(s.Sheets, "sheet"))
	fmt.Fprintf(&b, "%s wide, %s high\n\nStones to lay out (a few spare included):\n", w.Both(), h.Both())
	printCounts(&b, s)
	fmt.Fprintln(&b, "\nPlates:")
	for _, p := range s.Plates {
		fmt.Fprintf(&b, "  plate %d  %s: brush %s\n", p.Number, many(p.Holes, "hole"), inOrder(p.Order))
	}
	if s.Least.Plates == len(s.Plates) {
		fmt.Fprintf(&b, "  no fewer can be: %s\n", s.Least.Why)
	} else {
		fmt.Fprintf(&b, "  no fewer were found; at least %s\n", s.Least.Why)
	}
	printCutting(&b, s.Cutting)
	fmt.Fprintf(&b, "\n%s\n", worksText(s.Works))
	fmt.Fprintln(&b, "\nHoles:")
	for _, f := range s.Fits {
		fmt.Fprintf(&b, "  %s  %s: the largest stone and a fit of %s, from %s\n", f.Size, unit.Length(f.Hole).Format(unit.Millimetre), unit.Length(f.Fit).Format(unit.Millimetre), f.Source)
	}
	printRemarks(&b, s.Warnings)
	printFiles(&b, s)
	_, err := b.WriteTo(a.out)
	return err
}

// printCutting prints the time at the cutter sheet by sheet, with its two parts,
// which the shop's own timings are set against.
func printCutting(w io.Writer, rows []timeRow) {
	if len(rows) == 0 {
		return
	}
	fmt.Fprintln(w, "\nAt the cutter, estimated (mind the blade; stay beside it):")
	for _, r := range rows {
		fmt.Fprintf(w, "  sheet %d  about %s: moving %s, %s %s\n",
			r.Sheet, job.About(r.Moving+r.Lifts), job.Duration(r.Moving), many(r.Cuts, "lift"), job.Duration(r.Lifts))
	}
}

func printCounts(w io.Writer, s summary) {
	const all = "all"
	width := len(all)
	for _, c := range s.Counts {
		width = max(width, utf8.RuneCountInString(c.Size+" "+c.Colour))
	}
	fmt.Fprintf(w, "  %-*s  in the design  to take  gross  grams\n", width, "")
	row := func(kind string, pieces, take, gross int, grams float64) {
		fmt.Fprintf(w, "  %-*s  %13d  %7d  %5d  %5.1f\n", width, kind, pieces, take, gross, grams)
	}
	for _, c := range s.Counts {
		row(c.Size+" "+c.Colour, c.Pieces, c.Take, c.Gross, c.Grams)
	}
	if len(s.Counts) > 1 {
		row(all, s.total.Pieces, s.total.Take, s.total.Gross, s.total.Grams)
	}
}

// inOrder joins the kinds of a plate as they are brushed.
func inOrder(kinds []string) string {
	return strings.Join(kinds, ", then ")
}

func printRemarks(w io.Writer, remarks []remark) {
	if len(remarks) == 0 {
		return
	}
	fmt.Fprintln(w, "\nPlease look at:")
	for _, r := range remarks {
		if r.Where != "" {
			fmt.Fprintf(w, "  %s: %s\n", r.Where, r.Message)
			continue
		}
		fmt.Fprintf(w, "  %s\n", r.Message)
	}
}

func printFiles(w io.Writer, s summary) {
	fmt.Fprintf(w, "\nIn the folder %s:\n", s.Folder)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, name := range s.Files {
		fmt.Fprintf(t, "  %s\t%s\n", name, purpose(name))
	}
	t.Flush()
}

// purpose says what a file is for.
func purpose(name string) string {
	switch {
	case name == layoutName:
		return "every stone, for brushfall inspect and measure"
	case name == countsName:
		return "the stones, for a spreadsheet"
	case name == "ticket.pdf":
		return "print this: counts, brushing, pressing, cautions"
	case name == "proof.png":
		return "a picture of the finished design"
	case isJobFile(name):
		return "the job, to change and make again"
	case made.MatchString(name):
		return "templates for the cutter (one of the four kinds is enough)"
	case isDrawing(name):
		return "the drawing"
	}
	return ""
}

// many gives "1 stone", "2 stones".
func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// refuse prints the broken rules of a design that was not written.
func (a *app) refuse(res job.Result) error {
	if !a.json {
		fmt.Fprintf(a.err, "brushfall: the layout breaks a rule in %s, so nothing was written. Another width or stone may help;\nplease report it with the drawing, as no drawing should lead to this.\n", many(len(res.Findings), "place"))
	}
	return a.findings(res.Findings)
}

// findings prints broken rules and gives the error that ends the command.
func (a *app) findings(list []inspect.Finding) error {
	if a.json {
		if list == nil {
			list = []inspect.Finding{}
		}
		a.print(map[string]any{"findings": list})
	} else {
		for _, f := range list {
			fmt.Fprintln(a.out, f)
		}
	}
	if len(list) > 0 {
		return errFindings
	}
	return nil
}
