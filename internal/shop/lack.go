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
	ways := []string{"buy them (brushfall buy --jobs)"}
	if elsewhere {
		ways = append(ways, "fetch what lies elsewhere (brushfall stock move)")
	}
	if transfers {
		ways = append(ways, fmt.Sprintf("make the missing transfers anew (brushfall job promise %d shares the shelf out again)", m.Job))
	}
	if fits > 0 {
		ways = append(ways, fmt.Sprintf("make the part that there is enough for (brushfall job make %d --line %d --transfers %d)", m.Job, line, fits))
	}
	ways = append(ways, "or, if they were there after all, count them (brushfall stock count) or have them counted up (--found)")
	return fault.New("stock-short", "", "job %d lacks %s. Nothing was booked. %s", m.Job, strings.Join(missing, "; "), capital(strings.Join(ways, ", ")))
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
