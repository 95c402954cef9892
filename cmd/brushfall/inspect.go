package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
	"brushfall/internal/office"
)

// Names of files that more than one command knows.
const (
	layoutName = "layout.json"
	sheetsName = "sheets.json"
	countsName = "counts.csv"
)

const inspectHelp = `Check a design against the rules of the craft: stones far enough apart, enough
flock between the holes, every stone on one template, all templates alike in
frame and notch, counts that agree.

"make" checks every design before it writes anything. Use this on a layout.json
that was changed by hand or by another program. Each broken rule is one line:
its name, the place in mm, what is wrong. docs/findings.md explains them.

Of a folder that "gang" wrote, every design is checked, and the sheets they share.`

func (a *app) inspectCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "inspect FOLDER|layout.json",
		Short:   "Check a finished design against the rules",
		Long:    inspectHelp,
		Example: "  brushfall inspect badge\n  brushfall inspect badge/layout.json --json",
		Args:    oneArgument("the folder of a design, or its layout.json"),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.inspect(args[0])
		},
		ValidArgsFunction: filesOf("json"),
	}
	a.jsonFlag(cmd.Flags())
	return cmd
}

func (a *app) inspect(path string) error {
	if isFolder(path) && isThere(filepath.Join(path, sheetsName)) {
		return a.inspectGang(path)
	}
	doc, err := readLayout(path)
	if err != nil {
		return err
	}
	found, err := inspectFolder(doc, path)
	if err != nil {
		return err
	}
	if len(found) == 0 && !a.json {
		fmt.Fprintf(a.out, "%s: %s, %s, %s; no rule is broken\n", doc.Design, many(len(doc.Stones), "stone"), many(len(doc.Plates), "plate"), many(len(doc.Sheets), "sheet"))
		return nil
	}
	return a.findings(found)
}

// inspectFolder judges a design, and the counts where the path is its folder.
func inspectFolder(doc design.Document, path string) ([]inspect.Finding, error) {
	found := inspect.Inspect(doc)
	if !isFolder(path) {
		return found, nil
	}
	more, err := inspectCounts(doc, filepath.Join(path, countsName))
	return append(found, more...), err
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// readLayout reads a layout.json, or that of a folder.
func readLayout(path string) (design.Document, error) {
	made, err := readMade(path)
	return made.Document, err
}

// readMade is readLayout that keeps the bytes.
func readMade(path string) (office.Made, error) {
	folder := ""
	if isFolder(path) {
		folder, path = path, filepath.Join(path, layoutName)
	}
	text, err := readFile(path)
	if folder != "" && fault.CodeOf(err) == "file-missing" {
		return office.Made{}, fault.New("file-missing", folder, "there is no %s in this folder; name one that \"brushfall make\" wrote, and of a run of several widths one of the folders inside", layoutName)
	}
	if err != nil {
		return office.Made{}, err
	}
	made, err := office.ReadMade(text)
	if err != nil {
		return made, within(path, err)
	}
	return made, nil
}

// within puts a file's name before the place in it.
func within(path string, err error) error {
	return fault.Placed(err, func(where string) string { return joined(path, where) })
}

// inspectCounts compares a counts.csv with the stones of its design; a folder
// without one has nothing to compare.
func inspectCounts(doc design.Document, path string) ([]inspect.Finding, error) {
	text, err := readFile(path)
	if fault.CodeOf(err) == "file-missing" {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fault.New("counts-table", path, "this is not a table of counts; make the design again")
	}
	columns := [3]int{}
	for i, name := range []string{"size", "colour", "pieces"} {
		if columns[i] = slices.Index(rows[0], name); columns[i] < 0 {
			return nil, fault.New("counts-table", path, "the table has no column %q; make the design again", name)
		}
	}
	tally := inspect.Tally{}
	for i, row := range rows[1:] {
		n, err := strconv.Atoi(row[columns[2]])
		if err != nil {
			return nil, fault.New("counts-table", fmt.Sprintf("%s line %d", path, i+2), "%q is no number of pieces", row[columns[2]])
		}
		if row[columns[0]] == "total" {
			continue
		}
		tally[inspect.TallyKey{Size: row[columns[0]], Colour: row[columns[1]]}] += n
	}
	return inspect.InspectCounts(doc, countsName, tally), nil
}
