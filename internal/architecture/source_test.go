package architecture

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mostLines is the longest a file may grow before it is two files.
const mostLines = 400

// calm lists what a stage may use of packages that also hold a clock, a global
// source of chance or the process's own output. Everything else of them is banned.
func calm() map[string][]string {
	return map[string][]string{
		"time":         {"Date", "Unix", "UTC", "Time", "Month", "January", "Parse", "RFC3339", "DateOnly", "Millisecond"},
		"math/rand/v2": {"New", "NewPCG", "NewChaCha8", "Rand", "PCG", "ChaCha8", "Source"},
	}
}

// waits lists what the pages and the store may use besides: how long a connection, or
// another program, is waited for. They have no clock of their own either.
func waits() []string { return []string{"time.After", "time.Second", "time.Duration"} }

// printing lists the functions of fmt that write to the process's own output.
func printing() []string { return []string{"Print", "Println", "Printf", "Scan", "Scanln", "Scanf"} }

// restless gives every "package.Name" that a file takes from the packages of calm and fmt.
func restless(file *ast.File) []string {
	names := map[string]string{} // as the file calls it -> import path
	for _, i := range file.Imports {
		p := strings.Trim(i.Path.Value, `"`)
		name := map[string]string{"math/rand/v2": "rand"}[p]
		if name == "" {
			name = filepath.Base(p)
		}
		if i.Name != nil {
			name = i.Name.Name
		}
		names[name] = p
	}
	var out []string
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		id, ok := sel.X.(*ast.Ident)
		if !ok || id.Obj != nil {
			return true
		}
		p := names[id.Name]
		allowed, watched := calm()[p]
		if (watched && !slices.Contains(allowed, sel.Sel.Name)) || (p == "fmt" && slices.Contains(printing(), sel.Sel.Name)) {
			out = append(out, p+"."+sel.Sel.Name)
		}
		return true
	})
	return out
}

func TestStagesHaveNoClockAndNoChance(t *testing.T) {
	for name, p := range ours(t) {
		if slices.Contains(forTests(), name) {
			continue
		}
		parsed(t, p, func(f string, file *ast.File) {
			for _, use := range restless(file) {
				if (name == "web" || name == "store") && slices.Contains(waits(), use) {
					continue
				}
				t.Errorf("internal/%s/%s uses %s", name, f, use)
			}
		})
	}
}

// parsed gives each file of a package, but for its tests, by its name.
func parsed(t *testing.T, p pkg, do func(name string, file *ast.File)) {
	t.Helper()
	for _, f := range p.GoFiles {
		file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, f), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		do(f, file)
	}
}

func TestRestlessBites(t *testing.T) {
	const source = `package p
import ("fmt"; "time"; chance "math/rand/v2")
func f() { _ = time.Now(); _ = chance.IntN(3); fmt.Println(); _ = time.Unix(0, 0); _ = chance.New(nil); _ = fmt.Sprint() }`
	file, err := parser.ParseFile(token.NewFileSet(), "p.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"time.Now", "math/rand/v2.IntN", "fmt.Println"}
	if got := restless(file); !slices.Equal(got, want) {
		t.Errorf("found %v, want %v", got, want)
	}
}

func TestFilesStayShort(t *testing.T) {
	for _, p := range list(t) {
		if !strings.HasPrefix(p.ImportPath, module) {
			continue
		}
		for _, f := range p.GoFiles {
			set := token.NewFileSet()
			if _, err := parser.ParseFile(set, filepath.Join(p.Dir, f), nil, parser.SkipObjectResolution); err != nil {
				t.Fatal(err)
			}
			set.Iterate(func(f *token.File) bool {
				if f.LineCount() > mostLines {
					t.Errorf("%s has %d lines; split it, at most %d", f.Name(), f.LineCount(), mostLines)
				}
				return true
			})
		}
	}
}
