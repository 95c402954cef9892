package job

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/layout"
	"brushfall/internal/unit"
)

// page gives docs/formats/job.md.
func page(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "formats", "job.md"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestThePagesExampleIsAJob(t *testing.T) {
	example := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindStringSubmatch(page(t))
	if example == nil {
		t.Fatal("the page has no example")
	}
	j, err := Parse("heron.yaml", []byte(example[1]))
	if err != nil {
		t.Fatal(err)
	}
	if j.Design != "Heron badge" || j.Width != 241.3 || len(j.Regions) != 1 {
		t.Errorf("the example was read as %+v", j)
	}
}

// The page's edits by hand are read as they stand, and written the same again.
func TestThePagesEdits(t *testing.T) {
	list := regexp.MustCompile("(?s)```yaml\n(hand:.*?)```").FindStringSubmatch(page(t))
	if list == nil {
		t.Fatal("the page has no edits by hand")
	}
	j, err := Parse("heron.yaml", []byte(head+list[1]))
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Hand) != len(layout.Acts()) {
		t.Errorf("%d edits, want one of each act", len(j.Hand))
	}
	text := "hand:\n"
	for _, e := range j.Hand {
		text += "  - " + e.String() + "\n"
	}
	if text != list[1] {
		t.Errorf("the page has\n%sand it is written\n%s", list[1], text)
	}
}

func TestThePageNamesEveryKey(t *testing.T) {
	text := page(t)
	var keys []string
	for _, f := range jobFields() {
		keys = append(keys, f.key)
	}
	for _, f := range matchFields() {
		keys = append(keys, f.key)
	}
	for _, f := range ruleFields() {
		keys = append(keys, f.key)
	}
	for _, f := range frameFields() {
		keys = append(keys, f.key)
	}
	for _, f := range tapeFields() {
		keys = append(keys, f.key)
	}
	for _, act := range layout.Acts() {
		keys = append(keys, string(act))
		for _, f := range handKeys(act) {
			keys = append(keys, f.key)
		}
	}
	for _, k := range keys {
		if !regexp.MustCompile("`" + k + "[:`]").MatchString(text) {
			t.Errorf("the page has no word on %s", k)
		}
	}
	for _, bed := range beds() {
		for _, f := range bedKeys(bed) {
			if !regexp.MustCompile("`" + f.key + "[:`]").MatchString(text) {
				t.Errorf("the page has no word on %s of a bed", f.key)
			}
		}
		if !strings.Contains(text, "`"+string(bed)+"`") {
			t.Errorf("the page has no word on the bed %s", bed)
		}
	}
	for _, m := range Materials() {
		if !strings.Contains(text, "`"+string(m)+"`") {
			t.Errorf("the page has no word on %s", m)
		}
	}
	for _, l := range []unit.Length{catalogue.Web, catalogue.Border} {
		if !strings.Contains(text, l.String()) {
			t.Errorf("the page does not say the default of %s", l)
		}
	}
}
