package main

import (
	"bytes"
	"cmp"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/send"
)

// cutSheet is one cut file with the names of its plates; without names where the
// SVG beside it does not tell them.
type cutSheet struct {
	path   string
	stream send.Stream
	names  []send.Name
}

// plate gives the name of a plate of the sheet, from 0.
func (s cutSheet) plate(i int) string {
	if s.names != nil {
		return s.names[i].String()
	}
	return "plate " + strconv.Itoa(i+1)
}

var sheetNumber = regexp.MustCompile(`^sheet-([0-9]+)\.(plt|svg)$`)

// readSheets reads the HP-GL of a folder, sheet by sheet, or one file.
func readSheets(input string) ([]cutSheet, error) {
	if !isFolder(input) {
		if ext := strings.ToLower(filepath.Ext(input)); ext == ".svg" || ext == ".dxf" {
			return nil, fault.New("send-text", input, "a cutter is sent HP-GL: name the .plt file beside it, or the folder")
		}
		s, err := readSheet(input)
		return []cutSheet{s}, err
	}
	paths, err := sheetsIn(input)
	if err != nil {
		return nil, err
	}
	var out []cutSheet
	for _, p := range paths {
		s, err := readSheet(p)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// sheetsIn lists the HP-GL files of a folder by their numbers. A sheet that has
// an SVG and no HP-GL is a fault: leaving it out would not be noticed.
func sheetsIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, openFault(dir, err)
	}
	found := map[string][]int{}
	for _, e := range entries {
		if m := sheetNumber.FindStringSubmatch(e.Name()); m != nil {
			n, _ := strconv.Atoi(m[1])
			found[m[2]] = append(found[m[2]], n)
		}
	}
	slices.SortFunc(found["plt"], cmp.Compare[int])
	for _, n := range found["svg"] {
		if !slices.Contains(found["plt"], n) {
			return nil, fault.New("send-files", dir, "sheet %d has no .plt file, as it is too long for HP-GL: cut its SVG or DXF with the cutter's own software, and name the other .plt files one by one", n)
		}
	}
	if len(found["plt"]) == 0 {
		return nil, fault.New("send-files", dir, "there is no sheet-1.plt in this folder; name one that \"brushfall make\" wrote, or a .plt file")
	}
	var out []string
	for _, n := range found["plt"] {
		out = append(out, filepath.Join(dir, "sheet-"+strconv.Itoa(n)+".plt"))
	}
	return out, nil
}

func readSheet(path string) (cutSheet, error) {
	text, err := readFile(path)
	if err != nil {
		return cutSheet{}, err
	}
	stream, err := send.Read(bytes.NewReader(text))
	if err != nil {
		return cutSheet{}, within(path, err)
	}
	s := cutSheet{path: path, stream: stream}
	drawing, err := readFile(strings.TrimSuffix(path, filepath.Ext(path)) + ".svg")
	if err != nil {
		return s, nil
	}
	names, err := send.Names(bytes.NewReader(drawing))
	if err == nil && len(names) == stream.Plates() {
		s.names = names
	}
	return s, nil
}

// where is a plate of a sheet, both from 0.
type where struct{ sheet, plate int }

// startAt finds the plate to begin with: by its name, by its number, or the first.
func startAt(sheets []cutSheet, name string, number int) (where, error) {
	if name == "" && number == 0 {
		return where{}, nil
	}
	if name != "" && number != 0 {
		return where{}, fault.New("usage", "", "--from and --from-plate are both given; keep one")
	}
	var found []where
	var all, same []string
	for i, s := range sheets {
		for p := range s.stream.Plates() {
			all = append(all, strconv.Quote(s.plate(p)))
			byNumber := number == p+1
			if s.names != nil {
				byNumber = s.names[p].Plate == number && s.names[p].Copy == 1
			}
			if (name != "" && s.plate(p) == name) || (name == "" && byNumber) {
				found = append(found, where{i, p})
				same = append(same, strconv.Quote(s.plate(p)))
			}
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return where{}, fault.New("send-from", "", "that is more than one plate: %s; name one with --from, or name the sheet's .plt file", strings.Join(same, ", "))
	case len(sheets) == 1 && !sheets[0].stream.Marked():
		return where{}, fault.New("send-from", sheets[0].path, "the file does not say where its plates begin; it can only be sent whole")
	}
	return where{}, fault.New("send-from", "", "there is no such plate here; the plates are %s", strings.Join(all, ", "))
}
