package job

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/price"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// WorkTime is how long a work takes, in seconds for one of its unit (package price says
// of what), and where that comes from. Own: the shop timed or set it.
type WorkTime struct {
	Work    string
	Seconds decimal.Decimal
	Source  price.Source
	Own     bool
}

// WorkTimes gives the times that the ticket reckons with, in the order of the work: the
// shop's own, or the usual ones that prices begin with. Faults as of price.Read.
func (j Job) WorkTimes() ([]WorkTime, error) {
	s, err := price.Read(j.Works)
	if err != nil {
		return nil, err
	}
	var out []WorkTime
	for _, work := range []string{price.Weed, price.Brush, price.Tidy, price.Lift, price.Press} {
		_, own := j.Works[work]
		out = append(out, WorkTime{work, s.Works[work], s.Given[work].Source, own})
	}
	return out, nil
}

// workTimes is what a ticket says of the time that a template and a transfer take.
func (j Job) workTimes(v wording.Voice, res *Result) ([]ticket.Fact, error) {
	out := cuttingTime(v, res.Times)
	plates, holes := len(res.Document.Plates), 0
	for _, p := range res.Document.Plates {
		holes += len(p.Holes)
	}
	if plates == 0 {
		return out, nil
	}
	times, err := j.WorkTimes()
	if err != nil {
		return nil, err
	}
	about := func(work int, many float64) string {
		each, _ := times[work].Seconds.Float64()
		return unbroken(About(each * many))
	}
	hundreds := float64(holes) / 100
	return append(out,
		ticket.Fact{Label: v.Say("Weeding, once (%s)", sourceWord(v, times[0].Source)), Value: v.Say("about %s", about(0, hundreds))},
		ticket.Fact{
			Label: v.Say("A transfer (%s)", sourceWords(v, times[1:])),
			Value: unbrokenItems(v.Say("brushing %s, mending %s, lifting %s, pressing %s", about(1, float64(plates)), about(2, hundreds), about(3, float64(plates)), about(4, 1))),
		}), nil
}

// unbroken keeps a duration on one line.
func unbroken(duration string) string { return strings.ReplaceAll(duration, " ", "\u00a0") }

// unbrokenItems lets lines end after commas only.
func unbrokenItems(list string) string {
	return strings.ReplaceAll(unbroken(list), ",\u00a0", ", ")
}

// sourceWord says where a time comes from.
func sourceWord(v wording.Voice, s price.Source) string {
	switch {
	case strings.HasPrefix(string(s), string(price.Timed)):
		return v.Say("timed by the shop")
	case s == price.CommonPractice:
		return v.Say("common practice")
	case s == price.FromMemory:
		return v.Say("from memory")
	}
	return v.Say("set by the shop")
}

// sourceWords says where the times of a transfer come from: "brushing: common practice;
// the rest: from memory". What most have in common is the rest, of two as common the last.
func sourceWords(v wording.Voice, times []WorkTime) string {
	names := []string{v.Say("brushing"), v.Say("mending"), v.Say("lifting"), v.Say("pressing")}
	works := map[string][]string{}
	var sources []string
	for i, t := range times {
		word := sourceWord(v, t.Source)
		if works[word] == nil {
			sources = append(sources, word)
		}
		works[word] = append(works[word], names[i])
	}
	if len(sources) == 1 {
		return sources[0]
	}
	rest := 0
	for i, s := range sources {
		if len(works[s]) >= len(works[sources[rest]]) {
			rest = i
		}
	}
	last := v.Say("the rest: %s", sources[rest])
	var parts []string
	for _, s := range slices.Delete(slices.Clone(sources), rest, rest+1) {
		parts = append(parts, strings.Join(works[s], ", ")+": "+s)
	}
	return strings.Join(append(parts, last), "; ")
}
