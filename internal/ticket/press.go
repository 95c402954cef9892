package ticket

import (
	"slices"
	"strings"

	"brushfall/internal/fault"
)

// overruled is the line that stands with every pressing table.
const overruled = "These are starting points. The maker of the stones, film or garment overrules them. Press a scrap first."

// goodPress is common practice.
const goodPress = "A good press leaves a small ring of melted glue around each stone: look from the back of a clear scrap."

// pressTable gives the starting points of pressing. All figures are from memory;
// that glass is never pressed is common practice, the softening of acrylic near
// 105 °C its glass transition.
func pressTable() []PressRow {
	return []PressRow{
		{Material: Cotton, Name: "Cotton and blends", Heat: "160–165 °C (320–330 °F)", Time: "10–15 s", Pressure: "medium", Then: "Peel warm; press the back 5–10 s."},
		{Material: Polyester, Name: "Polyester", Heat: "cooler than cotton", Time: "longer", Pressure: "medium", Then: "Test first: the dye may migrate."},
		{Material: Acrylic, Name: "Acrylic (PMMA)", Heat: "softens near 105 °C", Time: "short", Pressure: "light", Then: "Test a scrap; cool it lying flat."},
		{Material: Nylon, Name: "Nylon, coated cloth", Heat: "do not press", Then: "Glue the stones cold.", Never: true},
		{Material: Glass, Name: "Glass, car windows", Heat: "never press", Then: "Press decal film, then stick it.", Never: true},
	}
}

// press gives the table with the job's material marked.
func press(m Material) (Press, error) {
	p := Press{Material: m, Rows: pressTable(), Rule: overruled, Good: goodPress}
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

// cautions gives the warnings for goods of the material; all where it is not
// decided. The law they name: US 16 CFR 1501 (small parts), the CPSIA's limit of
// 100 ppm of lead in the substrate of goods for children of 12 or under (15 USC
// 1278a), REACH Annex XVII entry 63 (lead). They never say that goods comply.
func cautions(m Material) []Caution {
	out := []Caution{
		{"Hot platen", "It burns. Keep hands clear, use a heat-proof sheet, follow the manual of the machine."},
		{"Small parts", "Stones come off and can be swallowed. Not for children under 3 (US 16 CFR 1501)."},
		{"Blades, hot tape", "Cover the blade when it is out of the machine. Let the tape cool before touching the stones."},
	}
	if m == Any || m == Glass || m == Acrylic {
		out = append(out, Caution{"Drinkware", "Keep stones and film below the lip area. Wash by hand."})
	}
	if m == Any || m == Glass {
		out = append(out, Caution{"Vehicle windows", "Never press onto glass. Local law limits what may cover a window: keep the driver's view clear."})
	}
	return append(out, Caution{"Lead, children's goods", "Goods for children of 12 or under: CPSIA asks for at most 100 ppm of lead, testing and a certificate; leaded crystal does not pass. In the EU: toy safety rules and REACH Annex XVII entry 63. Check the rules where you sell."})
}
