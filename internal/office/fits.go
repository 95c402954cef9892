package office

import (
	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/gauge"
)

// TrialAnswer is what trial holes showed, or a fit that is known otherwise. Group is the
// number of the group of a Trial's plate that took every stone and none twice; 0: Fit,
// in mm, is given. Usual makes flock and cutter those that a job without any means.
type TrialAnswer struct {
	Trial Trial
	Group int
	Fit   *float64
	Usual bool
}

// Enter gives the fits with the answer, the entry, and the fit that was in use before.
// Faults: "usage", "fit-name", "gauge-answer", those of gauge.New and of fit.Book.With.
func (a TrialAnswer) Enter(fits fit.Book) (next fit.Book, entry fit.Fit, before float64, err error) {
	t := a.Trial
	if (a.Fit != nil) == (a.Group != 0) {
		return fits, entry, 0, fault.New("usage", "", "say either the number of the group or the fit itself")
	}
	if err := t.checkNames(); err != nil {
		return fits, entry, 0, err
	}
	before = t.now(fits)
	mm := 0.0
	if a.Fit != nil {
		mm = *a.Fit
	} else if mm, err = t.group(before, a.Group); err != nil {
		return fits, entry, before, err
	}
	entry = fit.Fit{Size: t.Options.Size.Name, Fit: mm}
	entry.Flock, entry.Cutter = fits.Names(t.Flock, t.Cutter)
	if next, err = fits.With(entry); err != nil {
		return fits, entry, before, err
	}
	if a.Usual {
		next.Flock, next.Cutter = entry.Flock, entry.Cutter
	}
	return next, entry, before, nil
}

// group gives the fit of a group of the plate, in mm.
func (t Trial) group(now float64, number int) (float64, error) {
	plate, err := gauge.New(t.options(now))
	if err != nil {
		return 0, err
	}
	s, err := plate.Find(number)
	return s.Fit, err
}
