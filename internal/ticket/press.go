package ticket

import (
	"slices"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// The messages that stand with every pressing table; how a good press is told is
// common practice.
const (
	overruled wording.Key = "These are starting points. The maker of the stones, film or garment overrules them. Press a scrap first."
	goodPress wording.Key = "A good press leaves a small ring of melted glue around each stone: look from the back of a clear scrap."
)

// pressTable gives the starting points of pressing, as ranges. All figures are from
// memory; that glass and nylon are not pressed is common practice, the softening of
// acrylic near 105 °C its glass transition.
func pressTable(v wording.Voice) []PressRow {
	memory, practice := v.Say("from memory"), v.Say("common practice")
	return []PressRow{
		{Material: Cotton, Name: v.Say("Cotton and blends"), Heat: v.Say("160–165 °C (320–330 °F)"), Time: v.Say("10–15 s"), Pressure: v.Say("medium"), Then: v.Say("Peel warm; press the back 5–10 s."), Source: memory},
		{Material: Polyester, Name: v.Say("Polyester"), Heat: v.Say("cooler than cotton"), Time: v.Say("longer"), Pressure: v.Say("medium"), Then: v.Say("Test first: the dye may migrate."), Source: memory},
		{Material: Acrylic, Name: v.Say("Acrylic (PMMA)"), Heat: v.Say("softens near 105 °C"), Time: v.Say("short"), Pressure: v.Say("light"), Then: v.Say("Test a scrap; cool it lying flat."), Source: memory},
		{Material: Nylon, Name: v.Say("Nylon, coated cloth"), Heat: v.Say("do not press"), Then: v.Say("Glue the stones cold."), Never: true, Source: practice},
		{Material: Glass, Name: v.Say("Glass, car windows"), Heat: v.Say("never press"), Then: v.Say("Press decal film, then stick it."), Never: true, Source: practice},
	}
}

// press gives the table with the job's material marked.
func press(v wording.Voice, m Material) (Press, error) {
	p := Press{Material: m, Rows: pressTable(v), Rule: v.Say(overruled), Good: v.Say(goodPress)}
	i := slices.IndexFunc(p.Rows, func(r PressRow) bool { return r.Material == m })
	if i < 0 && m != Any {
		var names []string
		for _, r := range p.Rows {
			names = append(names, string(r.Material))
		}
		return Press{}, fault.New("ticket-press", "", "there are no pressing notes for %q; there are for %s", string(m), strings.Join(names, ", "))
	}
	if i >= 0 {
		p.Rows[i].Chosen = true
	}
	return p, nil
}
