package job

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/gauge"
	"brushfall/internal/ticket/papertest"
	"brushfall/internal/wording"
)

// english are words that no paper in German or Spanish has; the shop's names and the
// command that enters the answer, which stay as they are typed, have none of them here.
var english = regexp.MustCompile(`(?i)\b(the|and|with|of|is|are|not|from|which|your|left|over|stones?|plates?|page|holes?)\b`)

// The paper of trial holes, in every language and on both pages, for few and for many
// groups, small and large stones, long names: poppler finds every word within the margins
// and none upon another, and no English in those that are not English.
func TestThePapersOfTrialHolesHold(t *testing.T) {
	for _, l := range wording.Languages() {
		for _, paper := range []Paper{A4, Letter} {
			for _, c := range []struct {
				size        string
				steps       int
				flock, mill string
			}{{"SS10", 0, "", ""}, {"SS40", 3, "black", "desk"}, {"SS6", 12, "pale grey velvety long-haired pile", "large Saltmarsh desk below windows"}} {
				g := trialJob(t, c.size, c.steps)
				g.Flock, g.Cutter, g.Like.Language, g.Like.Paper = c.flock, c.mill, l, paper
				g.Answer = fmt.Sprintf("brushfall gauge --size %s --flock %q --cutter %q --around 0.35 --step 0.05 --steps 12 --fits /home/heron/shop/fits.json --answer N", c.size, c.flock, c.mill)
				name := fmt.Sprintf("%s, %s, %s", c.size, l, paper)
				checkTrial(t, name, g)
			}
		}
	}
}

func trialJob(t *testing.T, size string, steps int) GaugeJob {
	t.Helper()
	s, err := catalogue.FindSize(size)
	if err != nil {
		t.Fatal(err)
	}
	trial, err := gauge.New(gauge.Options{Size: s, Around: s.Fit(), Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	return GaugeJob{Trial: trial, Now: s.Fit(), Like: Default("")}
}

func checkTrial(t *testing.T, name string, g GaugeJob) {
	t.Helper()
	files, err := Gauge(g)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "gauge.pdf")
	if err := os.WriteFile(path, files[len(files)-1].Data, 0o600); err != nil {
		t.Fatal(err)
	}
	var words []string
	for n, page := range papertest.Pages(t, path) {
		papertest.CheckWords(t, fmt.Sprintf("%s, page %d", name, n+1), page)
		for _, w := range page.Words {
			words = append(words, w.Text)
		}
	}
	text := strings.Join(words, " ")
	if len(words) < 150 || !strings.Contains(text, g.Trial.Size.Name) {
		t.Errorf("%s says %q", name, text)
	}
	if found := english.FindAllString(text, -1); g.Like.Language != wording.English && found != nil {
		t.Errorf("%s has English words: %v", name, found)
	}
}
