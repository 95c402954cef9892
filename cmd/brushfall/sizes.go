package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"brushfall/internal/job"
	"brushfall/internal/unit"
)

// sizesSummary is what a size run tells at the end.
type sizesSummary struct {
	Design string        `json:"design"`
	Sizes  []sizeSummary `json:"sizes"`
	Folder string        `json:"folder"`
	Files  []string      `json:"files"`
}

// sizeSummary is one size of it. Its Files are named as from within its folder.
type sizeSummary struct {
	Name string `json:"name"`
	summary
}

// produceSizes runs a job at each of its widths and writes the folders of all, or
// nothing.
func (a *app) produceSizes(ctx context.Context, j job.Job, dir string) error {
	out, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer out.discard()
	bar := newBar(a.err)
	res, err := job.RunSizes(ctx, j, bar.progress)
	bar.clear()
	if err != nil {
		return err
	}
	for _, r := range res.Runs {
		if len(r.Findings) > 0 {
			if !a.json {
				fmt.Fprintf(a.err, "brushfall: of the size %s:\n", r.Name)
			}
			return a.refuse(r.Result)
		}
	}
	files := res.Files()
	if err := out.commit(ctx, files); err != nil {
		return err
	}
	s := sizesSummary{Design: j.Design, Folder: dir}
	for _, f := range files {
		s.Files = append(s.Files, f.Name)
	}
	for _, r := range res.Runs {
		s.Sizes = append(s.Sizes, sizeSummary{r.Name, summarise(j, r.Result, filepath.Join(dir, r.Name), r.Files())})
	}
	return a.reportSizes(s)
}

// reportSizes prints the summary of a size run.
func (a *app) reportSizes(s sizesSummary) error {
	if a.json {
		a.print(s)
		return nil
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s in %s:\n", s.Design, many(len(s.Sizes), "size"))
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "\twidth\theight\tstones\tplates\tsheets\tgrams\t")
	for _, one := range s.Sizes {
		w, h := unit.Length(one.Width), unit.Length(one.Height)
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%d\t%d\t%.1f\t\n", one.Name, w, h, one.Stones, len(one.Plates), one.Sheets, one.total.Grams)
	}
	t.Flush()
	printRemarks(&b, s.remarks())
	var names []string
	for _, one := range s.Sizes {
		names = append(names, one.Name)
	}
	fmt.Fprintf(&b, "\nIn the folder %s:\n  sizes.csv  the table of all sizes, for a spreadsheet\n", s.Folder)
	fmt.Fprintf(&b, "  %s: a folder for each size, with its templates, counts, ticket and picture\n", strings.Join(names, ", "))
	_, err := b.WriteTo(a.out)
	return err
}

// remarks gives what is to be looked at: once what all sizes share, which is what
// is said of the artwork, and with its size what they do not.
func (s sizesSummary) remarks() []remark {
	count := map[remark]int{}
	for _, one := range s.Sizes {
		for _, r := range one.Warnings {
			count[r]++
		}
	}
	var out []remark
	for i, one := range s.Sizes {
		for _, r := range one.Warnings {
			if count[r] < len(s.Sizes) {
				r.Where = strings.TrimSpace(one.Name + " " + r.Where)
			} else if i > 0 {
				continue
			}
			out = append(out, r)
		}
	}
	return out
}
