package architecture

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"
)

// inTheTerminal lists packages whose faults may name a command alone, and why.
func inTheTerminal() map[string]string {
	return map[string]string{
		"count": "the page reads no counts.csv",
		"send":  "the page sends only what it has made itself",
	}
}

// commandsAlone gives the messages of a file's faults that name a command without
// saying beside it what to do on the page. The command that opens the page is on none.
func commandsAlone(file *ast.File) []string {
	var out []string
	said := map[ast.Expr]bool{} // what OnPage is called on
	ast.Inspect(file, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		sel, ok := call.Fun.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if sel.Sel.Name == "OnPage" {
			said[sel.X] = true
		}
		from, ok := sel.X.(*ast.Ident)
		if !ok || from.Name != "fault" || sel.Sel.Name != "New" || said[call] || len(call.Args) < 3 {
			return true
		}
		if text, ok := call.Args[2].(*ast.BasicLit); ok && strings.Contains(strings.ReplaceAll(text.Value, "brushfall open", ""), "brushfall ") {
			out = append(out, text.Value)
		}
		return true
	})
	return out
}

func TestFaultsThatNameACommandHaveWordsForThePage(t *testing.T) {
	for name, p := range ours(t) {
		if inTheTerminal()[name] != "" {
			continue
		}
		parsed(t, p, func(f string, file *ast.File) {
			for _, text := range commandsAlone(file) {
				t.Errorf("internal/%s/%s: %s names a command; say with OnPage what to do on the page", name, f, text)
			}
		})
	}
}

func TestCommandsAloneBites(t *testing.T) {
	const source = `package p
func f() { _ = fault.New("a", "", "there is none; brushfall job list has them"); _ = fault.New("b", "", "none; brushfall pack list").OnPage("none; see Packs"); _ = fault.New("c", "", "use \"brushfall open\"") }`
	file, err := parser.ParseFile(token.NewFileSet(), "p.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := commandsAlone(file); !slices.Equal(got, []string{`"there is none; brushfall job list has them"`}) {
		t.Errorf("found %v", got)
	}
}
