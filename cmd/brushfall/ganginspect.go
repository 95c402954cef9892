package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/inspect"
)

// inspectGang judges the designs of a folder that gang wrote, each for itself and
// all on the sheets that they share.
func (a *app) inspectGang(folder string) error {
	name := filepath.Join(folder, sheetsName)
	text, err := readFile(name)
	if err != nil {
		return err
	}
	var record struct {
		Designs []struct {
			Folder string `json:"folder"`
		} `json:"designs"`
		Sheets []struct{} `json:"sheets"`
	}
	if err := json.Unmarshal(text, &record); err != nil || len(record.Designs) == 0 {
		return fault.New("sheets-record", name, "this is no record of sheets; make the designs again with \"brushfall gang\"")
	}
	var docs []design.Document
	var found []inspect.Finding
	stones, plates := 0, 0
	for _, d := range record.Designs {
		if !filepath.IsLocal(d.Folder) {
			return fault.New("sheets-record", name, "%q is no folder inside this one", d.Folder)
		}
		path := filepath.Join(folder, d.Folder)
		doc, err := readLayout(path)
		if err != nil {
			return err
		}
		own, err := inspectFolder(doc, path)
		if err != nil {
			return err
		}
		for i := range own {
			own[i].Message = doc.Design + ": " + own[i].Message
		}
		docs, found = append(docs, doc), append(found, own...)
		stones, plates = stones+len(doc.Stones), plates+len(doc.Plates)
	}
	found = append(found, inspect.InspectTogether(docs)...)
	if len(found) == 0 && !a.json {
		fmt.Fprintf(a.out, "%s: %s, %s, %s; no rule is broken\n", many(len(docs), "design"), many(stones, "stone"), many(plates, "plate"), many(len(record.Sheets), "sheet"))
		return nil
	}
	return a.findings(found)
}
