package ticket

import (
	"slices"

	"brushfall/internal/fault"
	"brushfall/internal/wording"
)

// CareInput says what a care card is for. Material Any gives what holds everywhere.
type CareInput struct {
	Language wording.Language
	Shop     Party
	Design   string
	Code     string
	Material Material
	Copies   int // 0: as many as a sheet holds
}

// BuildCare makes a care card. The advice is common practice; the maker of the garment
// overrules it, and the card says so. The fault is "ticket-press" for an unknown material.
func BuildCare(in CareInput) (CareCard, error) {
	v := wording.In(in.Language)
	table, err := press(v, in.Material)
	if err != nil {
		return CareCard{}, err
	}
	if in.Copies < 0 {
		return CareCard{}, fault.New("paper-copies", "", "%d cards cannot be printed", in.Copies)
	}
	c := CareCard{Language: in.Language, Shop: in.Shop, Design: in.Design, Code: in.Code, Material: in.Material, Copies: in.Copies, Care: care(v, in.Material)}
	if i := slices.IndexFunc(table.Rows, func(r PressRow) bool { return r.Chosen }); i >= 0 {
		c.Made = table.Rows[i].Name
	}
	c.Cautions = []Caution{smallPartsCaution(v)}
	if in.Material == Any || in.Material == Glass || in.Material == Acrylic {
		c.Cautions = append(c.Cautions, Caution{v.Say("Drinkware"), v.Say("Keep stones away from the mouth. Wash by hand, never in a dishwasher or microwave.")})
	}
	if in.Material == Any || in.Material == Glass {
		c.Cautions = append(c.Cautions, Caution{v.Say("Vehicle windows"), v.Say("Keep the driver's view clear; local law limits what may cover a window.")})
	}
	return c, nil
}

// care gives the lines for a material.
func care(v wording.Voice, m Material) []Care {
	worn := []Care{
		{SignWait, v.Say("Wait a day before the first wash.")},
		{SignTurn, v.Say("Turn it inside out to wash it.")},
		{SignWash, v.Say("Wash cool and gentle, at most at 30 °C (86 °F).")},
		{SignNoSoft, v.Say("No softener, no bleach, no dry cleaning.")},
		{SignAir, v.Say("Dry it on the air, not in a tumble dryer.")},
		{SignIron, v.Say("Never iron on the stones; iron from the back, with a cloth between.")},
	}
	hard := []Care{
		{SignWipe, v.Say("Wipe it with a soft, damp cloth. No scouring, no solvents.")},
		{SignHand, v.Say("Wash it by hand in lukewarm water, and do not let it soak.")},
		{SignIron, v.Say("Keep it away from heat: not in a hot car, nor on a heater.")},
	}
	switch m {
	case Acrylic, Glass:
		return hard
	case Nylon:
		worn[2] = Care{SignHand, v.Say("Wash it by hand, cool.")}
		return worn
	case Any:
		return append(worn, hard[0])
	}
	return worn
}
