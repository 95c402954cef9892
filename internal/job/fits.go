package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fit"
	"brushfall/internal/layout"
	"brushfall/internal/unit"
	"brushfall/internal/wording"
)

// UsedFit is the fit that a size's holes were made with, in mm. Own says that it
// is the shop's, found with trial holes; Source says in words where it comes from.
type UsedFit struct {
	Size      string
	Fit, Hole float64
	Own       bool
	Source    string
}

// ParseFitName reads the name of a flock or a cutter. Fault "fit-name".
func ParseFitName(text string) (string, error) {
	return strings.TrimSpace(text), fit.CheckName(text)
}

// fit gives a size with the hole of the shop's own fit, if there is one.
func (j Job) fit(size catalogue.Size) catalogue.Size {
	if own, ok := j.Fits.Find(size.Name, j.Flock, j.Cutter.Name); ok {
		// Thousandths: a sum of two decimals is to be the decimal it looks like.
		size.Hole = math.Round((size.Largest+own.Fit)*1000) / 1000
	}
	return size
}

// fitted gives the job with the shop's own fits in every size that it asks for.
func (j Job) fitted() Job {
	wish := func(w StoneWish) StoneWish {
		w.Size = j.fit(w.Size)
		return w
	}
	setting := func(s Setting) Setting {
		s.Stone = wish(s.Stone)
		if s.Accents != nil {
			a := *s.Accents
			a.Stone = wish(a.Stone)
			s.Accents = &a
		}
		s.Fill = slices.Clone(s.Fill)
		for i := range s.Fill {
			s.Fill[i] = wish(s.Fill[i])
		}
		return s
	}
	j.Setting = setting(j.Setting)
	j.Regions = slices.Clone(j.Regions)
	for i := range j.Regions {
		j.Regions[i].Setting = setting(j.Regions[i].Setting)
	}
	j.Hand = slices.Clone(j.Hand)
	for i := range j.Hand {
		j.Hand[i].Stone = wish(j.Hand[i].Stone)
	}
	return j
}

// usedFits gives the fits of the sizes among the kinds, largest first.
func (j Job) usedFits(kinds []design.Kind) []UsedFit {
	var out []UsedFit
	for _, k := range kinds {
		if slices.ContainsFunc(out, func(u UsedFit) bool { return u.Size == k.Size }) {
			continue
		}
		u := UsedFit{Size: k.Size, Fit: math.Round((k.Hole-k.Diameter)*1000) / 1000, Hole: k.Hole}
		if own, ok := j.Fits.Find(k.Size, j.Flock, j.Cutter.Name); ok {
			u.Own, u.Source = true, fmt.Sprintf("your trial holes: flock %q, cutter %q", own.Flock, own.Cutter)
		} else if size, err := j.Stones.FindSize(k.Size); err == nil {
			u.Source = "the catalogue, " + size.HoleSource
		}
		out = append(out, u)
	}
	slices.SortStableFunc(out, func(a, b UsedFit) int { return cmp.Compare(b.Hole, a.Hole) })
	return out
}

// fitNotes tells of sizes without a fit on a flock or cutter that has others, or
// that the job names.
func (j Job) fitNotes(used []UsedFit) []layout.Note {
	flock, cutter := j.Fits.Names(j.Flock, j.Cutter.Name)
	if j.Flock == "" && j.Cutter.Name == "" && len(j.Fits.Fits) == 0 {
		return nil
	}
	var out []layout.Note
	for _, u := range used {
		if !u.Own {
			known := fmt.Sprintf("no fit of %s is known for the flock %q on the cutter %q: its holes have the catalogue's %s; cut trial holes",
				u.Size, flock, cutter, unit.Length(u.Fit).Format(unit.Millimetre))
			out = append(out, layout.Note{Code: "fit-unknown", Message: known + " with brushfall gauge --size " + u.Size, Page: known + " (Shop: Fits)"})
		}
	}
	return out
}

// fitWords says on the ticket which holes are of a fit of the shop's own.
func fitWords(v wording.Voice, used []UsedFit) map[string]string {
	out := map[string]string{}
	for _, u := range used {
		out[u.Size] = v.Say("catalogue's fit")
		if u.Own {
			out[u.Size] = v.Say("own fit")
		}
	}
	return out
}
