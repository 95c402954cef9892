package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// The ticket has the shop's own times where its book gives them: what was timed is the
// seconds divided by the times, worked by hand; what was not is usual, and is told to be.
func TestTicketsHaveTheShopsTimes(t *testing.T) {
	crewDesk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	put(t, "crew.csv", "name;width;colour;quantity\nEel;30;;2\n")
	ticket := func(folder string) string {
		// what hangs together is printed with no-break spaces
		return strings.ReplaceAll(strings.Join(strings.Fields(printedPaper(t, folder, "-raw")), " "), "\u00a0", " ")
	}
	tells := func(folder string, parts ...string) {
		t.Helper()
		for _, p := range parts {
			if text := ticket(folder); !strings.Contains(text, p) {
				t.Errorf("the ticket in %s lacks %q: %s", folder, p, text)
			}
		}
	}
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "out").wants(t, exitDone, "usual ones, from memory and common practice", "price time")
	tells("out", "Weeding, once (from memory)", "A transfer (brushing: common practice; the rest: from memory)", "brushing 30 s,", "lifting 40 s, pressing 1 min")
	brushfall(t, "make", "badge.yaml", "--effort", "live", "-o", "out", "--book", "none.book").wants(t, exitInput, "none.book")

	does(t, "price", "set", "press=150")
	does(t, "price", "time", "brush", "120", "--times", "3")
	var s summary
	does(t, "make", "badge.yaml", "--effort", "live", "-o", "out", "--json").reads(t, &s)
	if len(s.Works) != 5 || s.Works[1].Work != "brush" || s.Works[1].Seconds != "40" || !strings.HasPrefix(s.Works[1].Source, "timed by the shop") || s.Works[0].Source != "from memory" {
		t.Errorf("%+v", s.Works)
	}
	tells("out", "Weeding, once (from memory)", "A transfer (brushing: timed by the shop; pressing: set by the shop; the rest: from memory)", "brushing 1 min 20 s,", "lifting 40 s, pressing 2 min 30 s")
	for _, work := range []string{"weed", "tidy", "lift", "press", "brush"} {
		does(t, "price", "time", work, "30")
	}
	does(t, "gang", "badge.yaml", "--effort", "live", "-o", "gang")
	tells("gang/badge", "Weeding, once (timed by the shop)", "A transfer (timed by the shop)", "lifting 1 min,")
	does(t, "roster", "crew.yaml", "crew.csv", "-o", "crew", "--language", "de")
	tells("crew/badge-eel", "Entgittern, einmal (selbst gestoppt)", "Ein Transfer (selbst gestoppt)")
}
