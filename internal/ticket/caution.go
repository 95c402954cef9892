package ticket

import "brushfall/internal/wording"

// The cautions. The law they name: US 16 CFR 1501 (small parts), the CPSIA's limit of
// 100 ppm of lead in the substrate of goods for children of 12 or under (15 USC
// 1278a), REACH Annex XVII entry 63 (lead). They never say that goods comply.

func platenCaution(v wording.Voice) Caution {
	return Caution{v.Say("Hot platen"), v.Say("It burns. Keep hands clear, use a heat-proof sheet, follow the manual of the machine.")}
}

func smallPartsCaution(v wording.Voice) Caution {
	return Caution{v.Say("Small parts"), v.Say("Stones come off and can be swallowed. Not for children under 3 (US 16 CFR 1501).")}
}

func tapeCaution(v wording.Voice) Caution {
	return Caution{v.Say("Blades, hot tape"), v.Say("Cover the blade when it is out of the machine. Let the tape cool before touching the stones.")}
}

func bladesCaution(v wording.Voice) Caution {
	return Caution{v.Say("Blades"), v.Say("Blades are sharp, also the worn ones: keep fingers away from the moving carriage, and follow the manual of the cutter's maker. Cut trial holes first on new flock or with a new blade.")}
}

func drinkwareCaution(v wording.Voice) Caution {
	return Caution{v.Say("Drinkware"), v.Say("Keep stones and film below the lip area. Wash by hand.")}
}

func windowCaution(v wording.Voice) Caution {
	return Caution{v.Say("Vehicle windows"), v.Say("Never press onto glass. Local law limits what may cover a window: keep the driver's view clear.")}
}

func leadCaution(v wording.Voice) Caution {
	return Caution{v.Say("Lead, children's goods"), v.Say("Goods for children of 12 or under: CPSIA asks for at most 100 ppm of lead, testing and a certificate; leaded crystal does not pass. In the EU: toy safety rules and REACH Annex XVII entry 63. Check the rules where you sell.")}
}

// cautions gives the warnings for whoever makes goods of the material; all where it
// is not decided.
func cautions(v wording.Voice, m Material) []Caution {
	return append([]Caution{platenCaution(v), smallPartsCaution(v), tapeCaution(v)}, placeCautions(v, m)...)
}

// placeCautions gives the warnings that go with where stones are put, and that of lead.
func placeCautions(v wording.Voice, m Material) []Caution {
	var out []Caution
	if m == Any || m == Glass || m == Acrylic {
		out = append(out, drinkwareCaution(v))
	}
	if m == Any || m == Glass {
		out = append(out, windowCaution(v))
	}
	return append(out, leadCaution(v))
}

// GoodsCautions gives the warnings for papers that go to a customer or a supplier:
// of small parts, of lead and goods for children, and, with places, of drinkware and
// windows. They say what rules there are, never that goods keep them.
func GoodsCautions(l wording.Language, m Material, places bool) []Caution {
	v := wording.In(l)
	if !places {
		return []Caution{smallPartsCaution(v), leadCaution(v)}
	}
	return append([]Caution{smallPartsCaution(v)}, placeCautions(v, m)...)
}
