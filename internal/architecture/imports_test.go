package architecture

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// pipeline lists the packages in the order of docs/architecture.md. A package
// may import those of the lines above its own, never one of its own line or
// below: what stands on one line are siblings.
func pipeline() [][]string {
	return [][]string{
		{"fault", "geom"},
		{"unit", "catalogue", "singleline", "code", "wording"},
		{"artwork", "design", "fit", "roster", "price"},
		{"artwork/svgin", "artwork/dxfin", "artwork/lettering"},
		{"layout"},
		{"inspect"},
		{"advise"},
		{"plate"},
		{"sheet"},
		{"gauge"},
		{"cut/tour"},
		{"cut"},
		{"cut/blade", "cut/pace"},
		{"cut/svg", "cut/dxf", "cut/hpgl", "cut/pdf"},
		{"send"},
		{"count"},
		{"proof", "ticket", "price/piece"},
		{"ticket/pdf"},
		{"job"},
		{"trial"},
		{"shop"},
		{"office"},
		{"store"},
		{"bench"},
		{"bench/shelf"},
		{"web"},
	}
}

// books lists what the packages of the shop's book and of the bench's designs may
// know of ours: they are beside the pipeline, and joined to it by the command and the
// pages alone.
func books() map[string][]string {
	return map[string][]string{
		"shop":  {"fault", "catalogue", "code", "price"},
		"store": {"fault", "shop", "price"},

		"bench":       {"fault"},
		"bench/shelf": {"fault", "bench"},
	}
}

// keepers are the packages that keep files; the pages see neither, only what they
// implement, and the command joins them.
func keepers() []string { return []string{"store", "bench/shelf"} }

// judges is all that inspect may know of ours: the record, the sizes of the
// trade and plane geometry, none of the code that it judges.
func judges() []string { return []string{"fault", "geom", "catalogue", "design"} }

// forTests lists packages that only tests import.
func forTests() []string {
	return []string{"outside", "cut/cuttest", "ticket/papertest", "architecture"}
}

// banned lists what no stage imports: stages read from an io.Reader, write to
// an io.Writer, and give the same bytes for the same input.
func banned() []string {
	return []string{
		"os", "os/exec", "os/signal", "os/user", "io/ioutil", "path/filepath", "syscall", "unsafe",
		"net", "net/http", "net/url", "database/sql", "log", "log/slog", "math/rand", "crypto/rand", "plugin",
	}
}

// lifted lists what some packages may import of that, and nobody else: store keeps
// the book's file, bench/shelf those of the designs, web answers a browser.
func lifted() map[string][]string {
	return map[string][]string{
		"store":       {"os", "path/filepath", "net/url", "database/sql", "modernc.org/sqlite", "modernc.org/sqlite/lib", "github.com/pressly/goose/v3"},
		"bench/shelf": {"os", "path/filepath", "syscall", "crypto/rand"},
		"web":         {"net", "net/http", "crypto/rand"},
	}
}

// databases says whether an import is of a database or its libraries.
func databases(imported string) bool {
	return strings.HasPrefix(imported, "database/sql") || strings.HasPrefix(imported, "modernc.org/sqlite") || strings.Contains(imported, "/goose/")
}

// pkg is what `go list` tells of a package.
type pkg struct {
	ImportPath, Dir string
	Standard        bool
	GoFiles         []string
	Imports         []string
}

const (
	module   = "brushfall/"
	internal = module + "internal/"
)

// list gives every package of the module and all that they depend on.
func list(t *testing.T) []pkg {
	t.Helper()
	cmd := exec.Command(outside.Need(t, "go"), "list", "-deps", "-json=ImportPath,Dir,Standard,GoFiles,Imports", "./...")
	cmd.Dir = path.Join("..", "..")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	var all []pkg
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// ours gives the packages under internal by their short names.
func ours(t *testing.T) map[string]pkg {
	t.Helper()
	out := map[string]pkg{}
	for _, p := range list(t) {
		if name, ok := strings.CutPrefix(p.ImportPath, internal); ok {
			out[name] = p
		}
	}
	return out
}

func rank(name string) int {
	return slices.IndexFunc(pipeline(), func(line []string) bool { return slices.Contains(line, name) })
}

func TestEveryPackageHasItsPlace(t *testing.T) {
	found := ours(t)
	for name := range found {
		if rank(name) < 0 && !slices.Contains(forTests(), name) {
			t.Errorf("internal/%s has no place in the pipeline of this test and of docs/architecture.md", name)
		}
	}
	for _, line := range pipeline() {
		for _, name := range line {
			if _, ok := found[name]; !ok {
				t.Errorf("the pipeline names internal/%s, which is not there", name)
			}
		}
	}
}

func TestPackagesImportEarlierOnesOnly(t *testing.T) {
	for name, p := range ours(t) {
		if slices.Contains(forTests(), name) {
			continue
		}
		for _, imported := range p.Imports {
			for _, why := range faults(name, imported) {
				t.Errorf("internal/%s imports %s: %s", name, imported, why)
			}
		}
	}
}

// faults gives what is wrong with one import of a stage.
func faults(name, imported string) []string {
	var out []string
	if may := slices.Contains(lifted()[name], imported); !may && (slices.Contains(banned(), imported) || databases(imported)) {
		out = append(out, "a stage has no files, network, database, process, log or chance of its own")
	}
	if name == "geom" && strings.Contains(imported, ".") {
		out = append(out, "geom needs the standard library only")
	}
	if strings.HasPrefix(imported, module) && !strings.HasPrefix(imported, internal) {
		out = append(out, "only the command is wired to the world")
	}
	other, ok := strings.CutPrefix(imported, internal)
	switch {
	case !ok:
	case slices.Contains(forTests(), other):
		out = append(out, "it is for tests")
	case rank(other) >= rank(name):
		out = append(out, "it is a sibling or comes later in the pipeline")
	case name == "geom" || name == "fault":
		out = append(out, "it stands at the bottom")
	case name == "web" && slices.Contains(keepers(), other):
		out = append(out, "the pages do not know where anything is kept")
	case books()[name] != nil && !slices.Contains(books()[name], other):
		out = append(out, "the book knows nothing of the pipeline")
	case name == "inspect" && !slices.Contains(judges(), other):
		out = append(out, "a judge does not share code with what it judges")
	}
	return out
}

// The rules themselves must be able to fail.
func TestTheRulesBite(t *testing.T) {
	for _, c := range []struct{ name, imported string }{
		{"geom", internal + "fault"},
		{"geom", "gonum.org/v1/gonum/mat"},
		{"layout", internal + "plate"},
		{"artwork/svgin", internal + "artwork/dxfin"},
		{"cut/svg", internal + "cut/dxf"},
		{"inspect", internal + "layout"},
		{"layout", "os"},
		{"job", "net/http"},
		{"job", "brushfall/cmd/brushfall"},
		{"sheet", internal + "outside"},
		{"job", internal + "shop"},
		{"job", internal + "store"},
		{"trial", internal + "store"},
		{"shop", internal + "store"},
		{"shop", internal + "job"},
		{"shop", "database/sql"},
		{"shop", "modernc.org/sqlite"},
		{"shop", "os"},
		{"count", "database/sql"},
		{"store", internal + "design"},
		{"store", "net/http"},
		{"store", "os/exec"},
		{"web", internal + "store"},
		{"web", internal + "bench/shelf"},
		{"web", "os"},
		{"web", "database/sql"},
		{"bench", "os"},
		{"bench", internal + "job"},
		{"bench/shelf", internal + "web"},
		{"bench/shelf", "net/http"},
		{"job", internal + "bench"},
		{"office", internal + "store"},
		{"office", "net/http"},
		{"shop", internal + "office"},
	} {
		if len(faults(c.name, c.imported)) == 0 {
			t.Errorf("internal/%s may import %s", c.name, c.imported)
		}
	}
	for _, c := range []struct{ name, imported string }{
		{"layout", internal + "geom"},
		{"store", internal + "shop"},
		{"store", "database/sql"},
		{"shop", internal + "catalogue"},
		{"web", internal + "job"},
		{"web", internal + "shop"},
		{"web", "net/http"},
		{"bench/shelf", "os"},
	} {
		if why := faults(c.name, c.imported); len(why) > 0 {
			t.Errorf("%s may not import %s: %v", c.name, c.imported, why)
		}
	}
}

// Only the store and its tests open databases; the command sees the book through
// the store.
func TestOnlyTheStoreKnowsDatabases(t *testing.T) {
	for _, p := range list(t) {
		if !strings.HasPrefix(p.ImportPath, module) || p.ImportPath == internal+"store" {
			continue
		}
		for _, imported := range p.Imports {
			if databases(imported) {
				t.Errorf("%s imports %s", p.ImportPath, imported)
			}
		}
	}
}
