package price

// ByHand compares a template with setting the stones by hand. Template is what a
// new one costs whole, Brushed what a transfer costs with it (tape, brushing,
// lifting), Placed what setting the stones of one by hand costs; the stones
// themselves are the same. Pays is the number of pieces from which the template is
// no dearer, 0 where it never is.
type ByHand struct {
	Template Amount `json:"template"`
	Brushed  Amount `json:"brushed"`
	Placed   Amount `json:"placed"`
	Pays     int    `json:"pays"`
}

// Compare gives the comparison for a piece, with overhead on all work. Faults as
// of CostOf.
func Compare(p Piece, s Settings) (ByHand, error) {
	if err := s.ready(p, Making{For: ForTransfer, Quantity: 1}); err != nil {
		return ByHand{}, err
	}
	template, brushed, placed := costing{Settings: s}, costing{Settings: s}, costing{Settings: s}
	template.template(p, 1)
	brushed.parts("tape", "tape", p.Tape, s.Tape)
	brushed.brushing(p)
	placed.work("place", Place, whole(p.count()), "stone", 1)
	out := ByHand{Template: template.finish().Total, Brushed: brushed.finish().Total, Placed: placed.finish().Total}
	out.Pays = pays(out.Template, out.Brushed, out.Placed, s.Reuses)
	return out, nil
}

// pays gives the smallest n with template·⌈n/reuses⌉ + brushed·n ≤ placed·n, 0 for
// none. With the saving d of each piece that is n ≥ template/d for one template.
// Where one template does not pay within its reuses, none ever does: k of them
// cost k·template > k·reuses·d, which is more than all pieces made with them save.
func pays(template, brushed, placed Amount, reuses int) int {
	saving := placed.Sub(brushed)
	if !saving.IsPositive() {
		return 0
	}
	quotient, rest := template.QuoRem(saving, 0)
	if rest.IsPositive() {
		quotient = quotient.Add(one())
	}
	if quotient.GreaterThan(whole(reuses)) {
		return 0
	}
	return max(1, int(quotient.IntPart()))
}
