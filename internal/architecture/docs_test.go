package architecture

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A link between the project's own pages leads to a file that is there.
func TestLinksOfThePagesLead(t *testing.T) {
	root := filepath.Join("..", "..")
	link := regexp.MustCompile(`\]\(([^)#:]+)(#[^)]*)?\)`)
	pages := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		foreign := strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules"
		if err != nil || (d.IsDir() && foreign && path != root) {
			return fs.SkipDir
		}
		if filepath.Ext(path) != ".md" || d.IsDir() {
			return nil
		}
		pages++
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join(filepath.Dir(path), strings.TrimSpace(m[1]))); err != nil {
				t.Errorf("%s links to %s, which is not there", path, m[1])
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if pages < 8 {
		t.Errorf("only %d pages were found", pages)
	}
}
