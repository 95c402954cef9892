package trial

import (
	"fmt"
	"io"
	"slices"
	"text/tabwriter"

	"brushfall/internal/advise"
)

// readsAsAdvised is the least M10 of a sign of which the advice says that it reads.
const readsAsAdvised = 0.85

// Missed lists what is wrong with a sign, short: "M10 0.83".
func (s *Sign) Missed() []string {
	var out []string
	if s.Broken > 0 {
		out = append(out, fmt.Sprintf("M1 %d broken", s.Broken))
	}
	if s.Room > 0 {
		out = append(out, fmt.Sprintf("M6 %d", s.Room))
	}
	if s.Advised == advise.Reads && s.Reads != nil && *s.Reads < readsAsAdvised {
		out = append(out, fmt.Sprintf("M10 %.3f", *s.Reads))
	}
	return out
}

// signGroup is what one face comes to at one height in one size.
type signGroup struct {
	face, size           string
	capital              float64
	n, broken, room      int
	stones, read, missed int
	least                float64 // M10 of those that are said to read
	worst                rune
}

// PrintSigns writes a line for each face, height and size, and every sign that misses.
func PrintSigns(w io.Writer, all []Sign) error {
	var groups []signGroup
	for i := range all {
		s := &all[i]
		k := slices.IndexFunc(groups, func(g signGroup) bool {
			return g.face == s.Face && g.size == s.Size.Name && g.capital == s.Capital
		})
		if k < 0 {
			k = len(groups)
			groups = append(groups, signGroup{face: s.Face, size: s.Size.Name, capital: s.Capital, least: 2})
		}
		g := &groups[k]
		g.n, g.stones, g.broken, g.room = g.n+1, g.stones+len(s.Stones), g.broken+s.Broken, g.room+s.Room
		if s.Advised == advise.Reads {
			g.read++
			if s.Reads != nil && *s.Reads < g.least {
				g.least, g.worst = *s.Reads, s.Character
			}
		}
		if len(s.Missed()) > 0 {
			g.missed++
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "face\tcapital, mm\tsize\tcharacters\tstones\tM1, asked 0\tM6, asked 0\tadvised to read\tleast M10 of those, asked %.2f\t\n", readsAsAdvised)
	missed := 0
	for _, g := range groups {
		least := "-"
		if g.least < 2 {
			least = fmt.Sprintf("%.3f %c", g.least, g.worst)
		}
		missed += g.missed
		fmt.Fprintf(t, "%s\t%g\t%s\t%d\t%d\t%d\t%d\t%d\t%s\t%s\n", g.face, g.capital, g.size, g.n, g.stones, g.broken, g.room, g.read, least, verdict(g.missed == 0))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "\n%d of %d characters miss\n", missed, len(all))
	for i := range all {
		if m := all[i].Missed(); len(m) > 0 {
			fmt.Fprintf(w, "  %s: %s\n", all[i].Name(), wrapped(m, 1000)[0])
		}
	}
	return nil
}
