package job

import (
	"slices"

	"brushfall/internal/artwork"
)

// Match picks regions of the artwork. Every field that is not empty must fit.
type Match struct {
	Fill   string // "#rrggbb": the region is a fill of this colour
	Stroke string // "#rrggbb": the region is a stroke of this colour
	ID     string // the element's id, the region's, or that of a group around it
	Class  string // one of its classes
	Layer  string // its DXF layer
}

// Takes says whether the match picks the region. The empty match picks every one.
func (m Match) Takes(r artwork.Region) bool {
	switch {
	case m.Fill != "" && (r.Stroke || r.Paint != m.Fill):
		return false
	case m.Stroke != "" && (!r.Stroke || r.Paint != m.Stroke):
		return false
	case m.ID != "" && m.ID != r.ID && m.ID != r.Element && !slices.Contains(r.Groups, m.ID):
		return false
	case m.Class != "" && !slices.Contains(r.Classes, m.Class):
		return false
	case m.Layer != "" && m.Layer != r.Layer:
		return false
	}
	return true
}

// SettingFor gives the setting of the first rule that picks the region, or the
// job's own, and that rule's index, or −1.
func (j Job) SettingFor(r artwork.Region) (Setting, int) {
	for i, rule := range j.Regions {
		if rule.Match.Takes(r) {
			return rule.Setting, i
		}
	}
	return j.Setting, -1
}

// Unused gives the rules that set none of the regions: a colour mistyped, or a
// rule that earlier ones leave nothing to.
func (j Job) Unused(regions []artwork.Region) []Rule {
	used := make([]bool, len(j.Regions))
	for _, r := range regions {
		if _, i := j.SettingFor(r); i >= 0 {
			used[i] = true
		}
	}
	var out []Rule
	for i, rule := range j.Regions {
		if !used[i] {
			out = append(out, rule)
		}
	}
	return out
}
