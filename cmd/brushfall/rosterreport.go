package main

import (
	"bytes"
	"fmt"
	"strings"
	"text/tabwriter"

	"brushfall/internal/job"
	"brushfall/internal/roster"
)

// rosterSummary is what roster tells at the end; its JSON is for other programs.
type rosterSummary struct {
	Rows      int               `json:"rows"`
	Transfers int               `json:"transfers"`
	Designs   []rosterDesignRow `json:"designs"`
	Faults    []roster.Fault    `json:"faults"`
	Unused    []string          `json:"unused_columns"`
	DryRun    bool              `json:"dry_run"`
	gangPart
}

// gangPart is what the list's designs have in common with those of a gang.
type gangPart struct {
	Sheets   []gangSheetRow `json:"sheets"`
	New      int            `json:"new_sheets"`
	Counts   []countRow     `json:"counts"`
	Tape     gangNeed       `json:"tape"`
	Film     gangNeed       `json:"film"`
	Folder   string         `json:"folder,omitempty"`
	Files    []string       `json:"files"`
	Warnings []remark       `json:"warnings"`
	gang     gangSummary
}

// rosterDesignRow is one design of it.
type rosterDesignRow struct {
	Design    string `json:"design"`
	Folder    string `json:"folder"`
	Rows      []int  `json:"rows"`
	Transfers int    `json:"transfers"`
	Plates    int    `json:"plates"`
	Stones    int    `json:"stones"`
	Sheets    []int  `json:"sheets"`
}

func rosterSummaryOf(res job.RosterResult, f rosterFlags, files []string) rosterSummary {
	g := gangSummaryOf(res.GangResult, f.out, nil)
	s := rosterSummary{
		Rows: len(res.List.Rows), Faults: res.Faults, Unused: res.Unused, DryRun: f.dry,
		gangPart: gangPart{g.Sheets, g.New, g.Counts, g.Tape, g.Film, g.Folder, files, g.Warnings, g},
	}
	if s.Faults == nil {
		s.Faults = []roster.Fault{}
	}
	if s.Unused == nil {
		s.Unused = []string{}
	}
	made := map[string]job.GangDesign{}
	for _, d := range res.GangResult.Designs {
		made[d.Document.Design] = d
	}
	for _, d := range res.Roster.Designs {
		m, ok := made[d.Job.Design]
		if !ok {
			continue
		}
		row := rosterDesignRow{Design: d.Job.Design, Folder: m.Folder, Transfers: d.Transfers, Plates: len(m.Document.Plates), Stones: m.Stones}
		for _, i := range d.Rows {
			row.Rows = append(row.Rows, res.List.Rows[i].Number)
		}
		for _, on := range m.Document.Sheets {
			row.Sheets = append(row.Sheets, on.Number)
		}
		s.Transfers += d.Transfers
		s.Designs = append(s.Designs, row)
	}
	return s
}

// reportRoster prints the summary.
func (a *app) reportRoster(s rosterSummary) error {
	if a.json {
		a.print(s)
		return nil
	}
	var b bytes.Buffer
	if len(s.Faults) > 0 {
		verb := "left out"
		if s.DryRun {
			verb = "not counted below"
		}
		fmt.Fprintf(&b, "%s; %s:\n", strings.ToUpper(faulty(s.Faults)[:1])+faulty(s.Faults)[1:], verb)
		for _, l := range faultLines(s.Faults) {
			fmt.Fprintln(&b, "  "+l)
		}
		fmt.Fprintln(&b)
	}
	if len(s.Designs) == 0 {
		fmt.Fprintln(&b, "Nothing is left to make.")
		_, err := b.WriteTo(a.out)
		return err
	}
	fmt.Fprintf(&b, "%s of %s on %s\n\n", many(s.Transfers, "transfer"), many(len(s.Designs), "design"), flockWords(s.New, len(s.Sheets)))
	s.printDesigns(&b)
	for _, c := range s.Unused {
		fmt.Fprintf(&b, "\nThe job file does not use the column %q.\n", c)
	}
	printRemarks(&b, s.Warnings)
	if s.DryRun {
		fmt.Fprintln(&b, "\nA dry run: nothing was written.")
	} else {
		s.printFolder(&b)
	}
	_, err := b.WriteTo(a.out)
	return err
}

func (s rosterSummary) printDesigns(b *bytes.Buffer) {
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  design\trows\ttransfers\tplates\tstones of each\ton sheets")
	for _, d := range s.Designs {
		fmt.Fprintf(t, "  %s\t%s\t%d\t%d\t%d\t%s\n", d.Design, listed(d.Rows), d.Transfers, d.Plates, d.Stones, listed(d.Sheets))
	}
	t.Flush()
	fmt.Fprintln(b, "\nStones to lay out for all transfers (a few spare included):")
	printCounts(b, summary{Counts: s.Counts, total: s.gang.total})
	fmt.Fprintf(b, "\nTape: %s\n", s.gang.tape)
	if s.Film.Transfers > 0 {
		fmt.Fprintf(b, "Decal film: %s\n", s.gang.film)
	}
}

func (s rosterSummary) printFolder(b *bytes.Buffer) {
	fmt.Fprintf(b, "\nIn the folder %s:\n", s.Folder)
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  sheet-1.svg .dxf .plt .pdf …\tthe sheets for the cutter (one of the kinds is enough)")
	fmt.Fprintln(t, "  ticket.pdf\tprint this: what lies where, stones, tape, offcuts")
	fmt.Fprintln(t, "  counts.csv\tthe stones for all transfers")
	fmt.Fprintln(t, "  roster.csv\tevery row of the list, with its design and folder")
	fmt.Fprintln(t, "  offcuts.csv\twhat is left over, for --pieces of the next run")
	fmt.Fprintln(t, "  sheets.json\tevery sheet, for other programs")
	fmt.Fprintf(t, "  %s/ …\tfor each design its own ticket, counts, picture and layout.json\n", s.Designs[0].Folder)
	t.Flush()
}
