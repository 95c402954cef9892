package architecture

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// direct gives the modules whose packages our code or its tests import, each as
// "path version".
func direct(t *testing.T) []string {
	t.Helper()
	type module struct {
		Path, Version string
		Main          bool
	}
	type listed struct {
		ImportPath string
		Imports    []string
		Module     *module
	}
	cmd := exec.Command(outside.Need(t, "go"), "list", "-deps", "-test", "-json=ImportPath,Imports,Module", "./...")
	cmd.Dir = filepath.Join("..", "..")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	from := map[string]module{} // import path -> its module
	var imported []string
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if p.Module == nil {
			continue
		}
		from[p.ImportPath] = *p.Module
		if p.Module.Main {
			imported = append(imported, p.Imports...)
		}
	}
	var mods []string
	for _, i := range imported {
		if m, ok := from[i]; ok && !m.Main {
			mods = append(mods, m.Path+" "+m.Version)
		}
	}
	slices.Sort(mods)
	return slices.Compact(mods)
}

// docs/dependencies.md lists every module that is imported, with its version and
// a reason, and no other.
func TestEveryDependencyIsExplained(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "dependencies.md"))
	if err != nil {
		t.Fatal(err)
	}
	table, _, _ := strings.Cut(string(page), "\n## ")
	var listed []string
	for _, row := range regexp.MustCompile(`(?m)^\| (\S+\.\S+) \| (v\S+) \| [^|]+ \| [^|]{10,} \|$`).FindAllStringSubmatch(table, -1) {
		listed = append(listed, row[1]+" "+row[2])
	}
	imported := direct(t)
	for _, m := range imported {
		if !slices.Contains(listed, m) {
			t.Errorf("%s is imported and is not in the table of docs/dependencies.md", m)
		}
	}
	for _, m := range listed {
		if !slices.Contains(imported, m) {
			t.Errorf("%s is in the table of docs/dependencies.md and is not imported", m)
		}
	}
}
