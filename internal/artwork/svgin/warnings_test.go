package svgin

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the expected files anew")

// TestWarnings holds what is said of each file in testdata/warnings against the
// .txt file beside it: the warnings, and the regions that are drawn all the same.
func TestWarnings(t *testing.T) {
	for _, file := range filesOf(t, "testdata/warnings/*.svg") {
		d := readFile(t, file)
		var b strings.Builder
		for _, w := range d.Warnings {
			fmt.Fprintf(&b, "%s: %s: %s\n", w.Code, w.Where, w.Message)
		}
		for _, r := range d.Regions {
			fmt.Fprintf(&b, "drawn: %s %s %.1f mm²\n", r.ID, r.Paint, r.Shape.Area())
		}
		want := strings.TrimSuffix(file, ".svg") + ".txt"
		if *update {
			if err := os.WriteFile(want, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		text, err := os.ReadFile(want)
		if err != nil {
			t.Fatal(err)
		}
		if b.String() != string(text) {
			t.Errorf("%s: got\n%s\nwant\n%s", file, b.String(), text)
		}
	}
}
