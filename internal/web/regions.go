package web

import (
	"fmt"

	"brushfall/internal/artwork"
	"brushfall/internal/design"
	"brushfall/internal/job"
)

// explain says of each region which rule it is set by, and what is worth knowing of it
// where the program chose its treatment.
func (b *layoutBody) explain(j job.Job, drawn []artwork.Region) {
	at := make(map[string]int, len(b.Regions))
	for i, r := range b.Regions {
		at[r.ID] = i
	}
	rows := b.onlyRows()
	for _, r := range drawn {
		i, laid := at[r.ID]
		if !laid {
			continue
		}
		setting, rule := j.SettingFor(r)
		b.Regions[i].Rule = rule
		if len(setting.Treatment) == 0 && rows[i] && !r.Open() {
			b.Regions[i].Advice = fmt.Sprintf("This stroke carries one row of %s: it is too narrow for a row along either side. Smaller stones or a wider design give it more.", b.Regions[i].Size)
		}
	}
}

// onlyRows says for each region whether it has stones and all of them stand along its
// middle, but for those set by hand.
func (b *layoutBody) onlyRows() []bool {
	out, other := make([]bool, len(b.Regions)), make([]bool, len(b.Regions))
	for i, role := range b.Stones.Role {
		switch r := b.Stones.Region[i]; design.Role(b.Roles[role]) {
		case design.RoleSpine:
			out[r] = true
		case design.RoleHand:
		default:
			other[r] = true
		}
	}
	for i := range out {
		out[i] = out[i] && !other[i]
	}
	return out
}
