package web

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"brushfall/internal/artwork"
	"brushfall/internal/bench"
	"brushfall/internal/catalogue"
	"brushfall/internal/job"
	"brushfall/internal/layout"
)

// mend is a change of the job that was tried and does away with a finding. Job holds
// the keys to set in the job object.
type mend struct {
	Label string         `json:"label"`
	Job   map[string]any `json:"job" doc:"keys of the job to set"`
}

// mostTrials bounds the layouts that are tried for the mends of one request.
const mostTrials = 16

// mender tries mends.
type mender struct {
	s      *Server
	files  []bench.File
	object map[string]any
	job    job.Job
	before job.Draft // laid as trials are
	memory job.Memory
	left   int
}

// addMends gives each finding the first of its mends that works: it is gone when the
// design is laid so, and no other comes for it.
func (s *Server) addMends(ctx context.Context, b *layoutBody, j job.Job, object []byte, files []bench.File) error {
	if !slices.ContainsFunc(b.Findings, func(f finding) bool { return !f.Broken }) {
		return nil
	}
	m := &mender{s: s, files: files, job: j, left: mostTrials}
	if err := json.Unmarshal(object, &m.object); err != nil {
		return err
	}
	j.Effort = layout.Live
	var err error
	if m.before, err = job.Lay(ctx, j, &m.memory, nil); err != nil {
		return err
	}
	for i, f := range b.Findings {
		for _, try := range m.candidates(f) {
			works, err := m.works(ctx, f, try)
			if err != nil {
				return err
			}
			if works {
				b.Findings[i].Mend = &try
				break
			}
		}
	}
	return nil
}

// works lays the design with a mend. Only an end of the request is an error: a mend
// that cannot be laid is none.
func (m *mender) works(ctx context.Context, f finding, try mend) (bool, error) {
	if m.left--; m.left < 0 {
		return false, nil
	}
	object := map[string]any{}
	for k, v := range m.object {
		object[k] = v
	}
	for k, v := range try.Job {
		object[k] = v
	}
	text, err := json.Marshal(object)
	if err != nil {
		return false, nil
	}
	j, err := m.s.jobOf(m.job.Stones, text, m.files)
	if err != nil {
		return false, nil
	}
	j = single(j)
	j.Effort = layout.Live
	after, err := job.Lay(ctx, j, &m.memory, nil)
	if ctx.Err() != nil {
		return false, ctx.Err()
	}
	if err != nil {
		return false, nil
	}
	return notes(after, f.ID, f.Region) < notes(m.before, f.ID, f.Region) && len(after.Notes) < len(m.before.Notes), nil
}

// notes gives how many notes of a code and a region a layout has.
func notes(d job.Draft, code, region string) int {
	n := 0
	for _, o := range d.Notes {
		if o.Code == code && o.Region == region {
			n++
		}
	}
	return n
}

// candidates gives what may mend a finding, the least change first.
func (m *mender) candidates(f finding) []mend {
	switch {
	case f.ID == "region-empty":
		return append(m.smaller(f.Region, f.Region), m.rule(f.Region, "Leave this region without stones", map[string]any{"skip": true}))
	case f.ID == "eye-shut":
		return m.smaller(f.Region, pieceOf(f.Region))
	case f.ID == "colour-size":
		return m.comingIn(f.Region)
	case f.ID == "kind-split":
		return m.looser()
	case f.ID == "lift-step":
		return []mend{{"One colour on each plate", map[string]any{"plates": "colour"}}}
	case f.ID == "code-left-out":
		frame, _ := m.object["frame"].(map[string]any)
		out := map[string]any{}
		for k, v := range frame {
			out[k] = v
		}
		out["code"] = "none"
		return []mend{{"Cut no code into the plates", map[string]any{"frame": out}}}
	case f.ID == "rule-unused" && f.Rule != nil:
		return []mend{m.without("regions", *f.Rule, "Take this rule out")}
	case strings.HasPrefix(f.ID, "hand-") && f.Edit != nil:
		return []mend{m.without("hand", *f.Edit, "Take this edit out")}
	}
	return nil
}

// without takes an element out of a list of the job.
func (m *mender) without(key string, i int, label string) mend {
	list, _ := m.object[key].([]any)
	if i >= len(list) {
		return mend{label, map[string]any{}}
	}
	return mend{label, map[string]any{key: slices.Delete(slices.Clone(list), i, i+1)}}
}

// smaller gives the sizes below that of a region for all that an id picks, the
// largest first.
func (m *mender) smaller(region, id string) []mend {
	var now catalogue.Size
	for _, r := range m.before.Document.Regions {
		if r.ID == region {
			now, _ = catalogue.FindSize(r.Size)
		}
	}
	var out []mend
	sizes := catalogue.Sizes()
	slices.SortFunc(sizes, func(a, b catalogue.Size) int { return int(1000 * (b.Largest - a.Largest)) })
	for _, z := range sizes {
		if z.Largest < now.Largest {
			out = append(out, m.rule(id, "Set it in "+z.Name, map[string]any{"stone": map[string]any{"size": z.Name}}))
		}
	}
	return out
}

// comingIn gives the sizes that the colour of a region comes in for it, the nearest first.
func (m *mender) comingIn(region string) []mend {
	stones := m.job.Stones
	for _, r := range m.before.Document.Regions {
		colour, err := stones.FindColour(r.Colour)
		now, err2 := stones.FindSize(r.Size)
		if r.ID != region || err != nil || err2 != nil {
			continue
		}
		sizes := slices.DeleteFunc(catalogue.Sizes(), func(z catalogue.Size) bool { return !colour.ComesIn(z.Name) })
		slices.SortStableFunc(sizes, func(a, b catalogue.Size) int {
			return cmp.Compare(math.Abs(a.Largest-now.Largest), math.Abs(b.Largest-now.Largest))
		})
		var out []mend
		for _, z := range sizes {
			out = append(out, m.sized(region, z.Name))
		}
		return out
	}
	return nil
}

// sized gives the job with another size where the stones of a region are set: in the rule
// that picks it, else in the job's own setting.
func (m *mender) sized(region, size string) mend {
	label := "Set them in " + size
	with := func(of map[string]any) map[string]any {
		return merged(of, map[string]any{"stone": map[string]any{"size": size}})
	}
	at, _ := m.picking(region)
	rules, _ := m.object["regions"].([]any)
	if at < 0 || at >= len(rules) {
		return mend{label, map[string]any{"stone": with(m.object)["stone"]}}
	}
	own, _ := rules[at].(map[string]any)
	rules = slices.Clone(rules)
	rules[at] = with(own)
	return mend{label, map[string]any{"regions": rules}}
}

// merged gives a copy of what a setting says with a change to it; of the stone, what the
// change does not say stays.
func merged(of, change map[string]any) map[string]any {
	out := map[string]any{}
	maps.Copy(out, of)
	for k, v := range change {
		own, stone := out[k].(map[string]any)
		if more, ok := v.(map[string]any); ok && stone && k == "stone" {
			own = maps.Clone(own)
			maps.Copy(own, more)
			v = own
		}
		out[k] = v
	}
	return out
}

// rule gives the job with a rule for an id alone, which has all that the rule has that
// picks it now, and the change: that rule itself if it picks nothing else, or one in front.
func (m *mender) rule(id, label string, change map[string]any) mend {
	rules, _ := m.object["regions"].([]any)
	var own map[string]any
	at, alone := m.picking(id)
	if at >= 0 {
		own, _ = rules[at].(map[string]any)
	}
	rule := merged(own, nil)
	if !alone {
		rule["match"] = map[string]any{"id": id}
	}
	rule = merged(rule, change)
	if alone {
		rules = slices.Clone(rules)
		rules[at] = rule
		return mend{label, map[string]any{"regions": rules}}
	}
	return mend{label, map[string]any{"regions": append([]any{rule}, rules...)}}
}

// picking gives the rule that picks the first region of an id, or of a piece of
// lettering, −1 if none, and whether it picks no other.
func (m *mender) picking(id string) (rule int, alone bool) {
	drawing, _, err := job.Drawing(m.job, &m.memory)
	if err != nil {
		return -1, false
	}
	ours := func(r artwork.Region) bool { return r.ID == id || slices.Contains(r.Groups, id) }
	i := slices.IndexFunc(drawing.Regions, ours)
	if i < 0 {
		return -1, false
	}
	if _, rule = m.job.SettingFor(drawing.Regions[i]); rule < 0 {
		return -1, false
	}
	return rule, !slices.ContainsFunc(drawing.Regions, func(r artwork.Region) bool {
		_, other := m.job.SettingFor(r)
		return other == rule && !ours(r)
	})
}

// looser gives every gap of the job back to the tightest that one plate holds.
func (m *mender) looser() []mend {
	change := map[string]any{"gap": "auto"}
	if rules, ok := m.object["regions"].([]any); ok {
		var loose []any
		for _, r := range rules {
			rule := map[string]any{}
			for k, v := range r.(map[string]any) {
				if k != "gap" {
					rule[k] = v
				}
			}
			loose = append(loose, rule)
		}
		change["regions"] = loose
	}
	return []mend{{"Set the stones as far apart as one plate can hold", change}}
}

// pieceForm is the id of a letter: that of the fills of its piece, and a number.
var pieceForm = regexp.MustCompile(`^(.+-fill)-[0-9]+$`)

// pieceOf gives the id that picks all letters of a letter's piece.
func pieceOf(region string) string {
	if p := pieceForm.FindStringSubmatch(region); p != nil {
		return p[1]
	}
	return region
}

// lineForm is how notes of edits and rules name the line of the job file.
var lineForm = regexp.MustCompile(`^the (?:edit by hand|rule) of line ([0-9]+) `)

// source finds the rule or the edit that a note is about, and puts its number, from
// 1, in the place of a line that a page does not show.
func (f *finding) source(j job.Job) {
	line := lineForm.FindStringSubmatch(f.Text)
	if line == nil {
		return
	}
	n, _ := strconv.Atoi(line[1])
	if i := slices.IndexFunc(j.Hand, func(e job.HandEdit) bool { return e.Line == n }); i >= 0 && f.ID != "rule-unused" {
		f.Edit = &i
		x, y := j.Hand[i].At[0], j.Hand[i].At[1]
		f.X, f.Y = &x, &y
		f.Text = strings.Replace(f.Text, "of line "+line[1], fmt.Sprintf("number %d", i+1), 1)
	}
	if i := slices.IndexFunc(j.Regions, func(r job.Rule) bool { return r.Line == n }); i >= 0 && f.ID == "rule-unused" {
		f.Rule = &i
		f.Text = strings.Replace(f.Text, "the rule of line "+line[1], fmt.Sprintf("rule %d", i+1), 1)
	}
}
