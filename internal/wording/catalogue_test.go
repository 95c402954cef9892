package wording

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

const self = "brushfall/internal/wording"

// listed is what `go list` tells of a package.
type listed struct {
	ImportPath, Dir, Export string
	Imports, GoFiles        []string
}

// packages gives every package of the module that the program is made of, with what
// they depend on, and the compiled form of each.
func packages(t *testing.T) map[string]listed {
	t.Helper()
	cmd := exec.Command(outside.Need(t, "go"), "list", "-export", "-deps", "-json=ImportPath,Dir,Export,Imports,GoFiles", "./...")
	cmd.Dir = filepath.Join("..", "..")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	all := map[string]listed{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all[p.ImportPath] = p
	}
}

// keys gives every constant of the type Key in the program, with a place of it, and
// the places where something that is no constant is made into one.
func keys(t *testing.T) (found map[string]string, made []string) {
	t.Helper()
	all := packages(t)
	found = map[string]string{}
	set := token.NewFileSet()
	imports := importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(all[path].Export) })
	for path, p := range all {
		if path != self && !slices.Contains(p.Imports, self) {
			continue
		}
		var files []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(set, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		info := types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		config := types.Config{Importer: imports}
		if _, err := config.Check(path, set, files, &info); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		for e, tv := range info.Types {
			if named, ok := tv.Type.(*types.Named); !ok || named.Obj().Name() != "Key" || named.Obj().Pkg().Path() != self || tv.IsType() {
				continue
			}
			switch _, converts := e.(*ast.CallExpr); {
			case tv.Value != nil:
				found[constant.StringVal(tv.Value)] = set.Position(e.Pos()).String()
			case converts:
				made = append(made, set.Position(e.Pos()).String())
			}
		}
	}
	return found, made
}

// same lists the messages that a language says as English does, because it does.
func same() map[Language][]string {
	return map[Language][]string{
		German: {
			"%d", "%.*f", "%.1f", "%v", "%s mm", "%s g", "%s %%", "April", "August", "September", "November", "Name", "Polyester", "Transfers", "10–15 s", "160–165 °C (320–330 °F)",
		},
		Spanish: {"%d", "%.*f", "%.1f", "%v", "%s mm", "%s g", "%s %%", "Total", "Transfers", "10–15 s", "160–165 °C (320–330 °F)"},
	}
}

var verb = regexp.MustCompile(`%(\[(\d+)\])?[-+# 0]*(\*|\d+)?(\.(\*|\d+))?(\[(\d+)\])?([a-zA-Z%])`)

// verbs gives what a message puts in: for each argument, from 1, its verb.
func verbs(text string) map[int]string {
	out, next := map[int]string{}, 1
	for _, m := range verb.FindAllStringSubmatch(text, -1) {
		if m[8] == "%" {
			continue
		}
		at := m[2] + m[7]
		if at != "" {
			next = int(at[0] - '0')
		}
		for range strings.Count(m[0], "*") {
			out[next] = "*"
			next++
		}
		out[next] = m[8]
		next++
	}
	return out
}

// Every message has a German and a Spanish form, of its own words, with the same
// things put in; and the files have no message that nobody says.
func TestEveryMessageSpeaksEveryLanguage(t *testing.T) {
	found, made := keys(t)
	if len(found) < 200 {
		t.Fatalf("only %d messages were found", len(found))
	}
	for _, at := range made {
		t.Errorf("%s: a message must be a constant", at)
	}
	for _, l := range Languages() {
		list := entries(l)
		for _, key := range slices.Sorted(maps.Keys(found)) {
			e, ok := list[key]
			if !ok {
				if l != English {
					t.Errorf("%s lacks %q of %s", l, key, found[key])
				}
				continue
			}
			checkEntry(t, l, key, e)
		}
		for key := range list {
			if found[key] == "" {
				t.Errorf("%s has %q, which nobody says", l, key)
			}
		}
	}
}

func checkEntry(t *testing.T, l Language, key string, e entry) {
	t.Helper()
	want := verbs(key)
	texts := []string{e.text}
	if e.by > 0 {
		texts = []string{e.one, e.other}
	}
	for i, text := range texts {
		if strings.TrimSpace(text) == "" {
			t.Errorf("%s: %q is empty", l, key)
		}
		got := verbs(text)
		if e.by > 0 && (i == 0 || !strings.Contains(key, " of %d")) && got[e.by] == "" && i == 0 {
			got[e.by] = want[e.by] // "one sheet" needs no figure
		}
		if strings.HasSuffix(key, " of %d") { // the figure stands above
			got[1] = want[1]
		}
		if !maps.Equal(got, want) {
			t.Errorf("%s: %q puts in %v, its translation %q %v", l, key, want, text, got)
		}
		if e.by == 0 && text == key && l != English && !slices.Contains(same()[l], key) {
			t.Errorf("%s: %q is left in English", l, key)
		}
	}
}

// Every message prints in every language without a mark of fmt that something is wrong
// ("%!f(BADINDEX)"), for one and for several.
func TestEveryMessagePrints(t *testing.T) {
	for _, l := range Languages() {
		v := In(l)
		for key := range entries(German) {
			for n := 1; n < 3; n++ {
				var args []any
				list := verbs(key)
				for i := 1; i <= len(list); i++ {
					args = append(args, map[string]any{"d": n, "*": n, "f": float64(n), "s": "word", "v": "word"}[list[i]])
				}
				if text := v.Say(Key(key), args...); strings.Contains(text, "%!") {
					t.Errorf("%s: %q prints as %q", l, key, text)
				}
			}
		}
	}
}

// The checks above find what they are for.
func TestVerbsAreSeen(t *testing.T) {
	for text, want := range map[string]map[int]string{
		"%d sheets, %s": {1: "d", 2: "s"}, "%[2]s 100 %% %[1]d": {1: "d", 2: "s"}, "%.*f": {1: "*", 2: "f"}, "%.1[4]f": {4: "f"}, "none": {},
	} {
		if got := verbs(text); !maps.Equal(got, want) {
			t.Errorf("%q: %v", text, got)
		}
	}
}
