package shop

import (
	"fmt"
	"strings"

	"brushfall/internal/fault"
)

// Lack is what a making takes of a kind beyond what is at its place; Elsewhere is how
// many are at others.
type Lack struct {
	Kind                    Kind
	Wanted, Here, Elsewhere int
}

// way is something to do about what is missing, as a command and on the page.
type way struct{ command, page string }

// Lacks says what a making lacks, for which nothing was booked, and what to do: fault
// "stock-short". fits is how many transfers of a line there is enough for, of the
// first line that is not whole.
func (m Making) Lacks(lacks []Lack, line, fits int) error {
	var missing []string
	elsewhere, transfers := false, false
	for _, l := range lacks {
		text := fmt.Sprintf("%s: %d wanted, %d at %s", l.Kind, l.Wanted, l.Here, m.Place)
		if l.Elsewhere > 0 {
			text += fmt.Sprintf(", %d elsewhere", l.Elsewhere)
			elsewhere = true
		}
		_, made := l.Kind.Design()
		transfers = transfers || made
		missing = append(missing, text)
	}
	ways := m.ways(elsewhere, transfers, line, fits)
	commands := make([]string, len(ways))
	pages := make([]string, len(ways))
	for i, w := range ways {
		commands[i], pages[i] = w.command, w.page
	}
	const says = "job %d lacks %s. Nothing was booked. %s"
	what := strings.Join(missing, "; ")
	return fault.New("stock-short", "", says, m.Job, what, capital(strings.Join(commands, ", "))).
		OnPage(says, m.Job, what, capital(strings.Join(pages, ", ")))
}

// ways gives what can be done.
func (m Making) ways(elsewhere, transfers bool, line, fits int) []way {
	out := []way{{"buy them (brushfall buy --jobs)", "buy them (Buy list)"}}
	if elsewhere {
		out = append(out, way{"fetch what lies elsewhere (brushfall stock move)", "fetch what lies elsewhere (Stock: were moved)"})
	}
	if transfers {
		out = append(out, way{fmt.Sprintf("make the missing transfers anew (brushfall job promise %d shares the shelf out again)", m.Job), "make the missing transfers anew (“Share the shelf out anew” beside the job)"})
	}
	if fits > 0 {
		out = append(out, way{fmt.Sprintf("make the part that there is enough for (brushfall job make %d --line %d --transfers %d)", m.Job, line, fits), fmt.Sprintf("make the part that there is enough for (%d of line %d)", fits, line)})
	}
	return append(out, way{"or, if they were there after all, count them (brushfall stock count) or have them counted up (--found)", "or, if they were there after all, count them (Stock) or tick “all was there”"})
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// Fits gives for how many more transfers of a line, at most so many, there is enough
// of everything, by what is taken for them.
func Fits(most int, wants func(transfers int) []Want, has func(Kind) int) int {
	low, high := 0, most // enough for low; not, or not looked at, for more than high
	for low < high {
		mid := (low + high + 1) / 2
		enough := true
		for _, w := range wants(mid) {
			enough = enough && has(w.Kind) >= w.Pieces
		}
		if enough {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return low
}
