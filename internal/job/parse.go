package job

import (
	"slices"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// maxRules bounds the rules of a job: more than artwork of the trade has colours.
const maxRules = 500

// Bounds of a job file, for those who write them: its bytes, rules and edits by hand.
const (
	MostBytes = maxBytes
	MostRules = maxRules
	MostEdits = maxEdits
)

// Parse reads a job file. name is the file's name for messages. Every fault
// names its place as "heron.yaml:12:5": "job-key" for an unknown key or one that
// stands twice, "job-value", "choice", "length-…", "size-unknown",
// "colour-unknown", "paint", "bed" for a wrong value, "job-yaml",
// "job-size", "job-text" and "job-empty" for a file that is no job,
// "artwork-missing", "width-missing" and "width-and-height" for what it lacks.
// Nothing is read from disk: Artwork is left for the caller.
func Parse(name string, text []byte) (Job, error) { return ParseWith(catalogue.Stones{}, name, text) }

// ParseWith is Parse for a shop with stones of its own, which the job keeps.
func ParseWith(stones catalogue.Stones, name string, text []byte) (Job, error) {
	s := source{name: name, stones: stones}
	root, err := s.root(text)
	if err != nil {
		return Job{}, err
	}
	return s.job(root)
}

// job reads the tree of a job file.
func (s source) job(root ast.Node) (Job, error) {
	j := Default("")
	j.Design, j.Stones = "", s.stones
	if err := fill(s, root, "a job file", &j, jobFields()); err != nil {
		return Job{}, err
	}
	if j.ArtworkName != "" && len(j.Drawings) > 0 {
		return Job{}, fault.New("artwork-and-drawings", s.name, "artwork and drawings are both given; put the one of artwork among the drawings: - {file: %s}", j.ArtworkName)
	}
	if !j.hasArtwork() && len(j.Lettering) == 0 {
		return Job{}, fault.New("artwork-missing", s.name, "the job names no artwork; add a line such as artwork: heron.svg, or lettering")
	}
	if err := j.CheckSize(); err != nil {
		return Job{}, fault.New(fault.CodeOf(err), s.name, "%v", err)
	}
	if j.Design == "" {
		j.Design = j.nameOfItsOwn()
	}
	return j, nil
}

// CheckSize refuses a job with none of width, height and widths, "width-missing",
// or with more than one, "width-and-height".
func (j Job) CheckSize() error {
	switch {
	case len(j.Widths) > 0 && (j.Width != 0 || j.Height != 0):
		return fault.New("width-and-height", "", "widths stands beside width or height; keep widths for a run of sizes, or the other for one size")
	case len(j.Widths) > 0:
		return nil
	case j.Width == 0 && j.Height == 0 && j.ArtworkName == "" && len(j.Lettering)+len(j.Drawings) > 0:
		return nil // its pieces and drawings have sizes of their own, or setting them tells
	case j.Width == 0 && j.Height == 0:
		return fault.New("width-missing", "", "the finished size is missing; say how wide the design shall be, such as width: 9.5 in (on the command line: --width 9.5in), or give its height")
	case j.Width != 0 && j.Height != 0:
		return fault.New("width-and-height", "", "width and height are both given; keep one, the other follows from the artwork")
	}
	return nil
}

// readRules reads the list of regions; each rule starts from the job's setting.
func readRules(s source, n ast.Node, j *Job) error {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		return s.fail(n, "job-value", "regions takes a list; start each rule with a dash: - match: {fill: \"#1f4e79\"}")
	}
	if len(list.Values) > maxRules {
		return s.fail(n, "job-value", "there are %d rules; at most %d are read", len(list.Values), maxRules)
	}
	for _, node := range list.Values {
		r := Rule{Setting: j.Setting}
		if err := s.hasMatch(node); err != nil {
			return err
		}
		if err := fill(s, node, "a rule", &r, ruleFields()); err != nil {
			return err
		}
		r.Line, _ = position(node)
		j.Regions = append(j.Regions, r)
	}
	return nil
}

// hasMatch refuses a rule that says nowhere which regions it is for. It looks
// before the keys are read: fill beside a match is a stone for gaps, and whoever
// forgot the match meant a colour.
func (s source) hasMatch(n ast.Node) error {
	found, err := s.entries(n, "a rule", keys(ruleFields()))
	if err != nil {
		return err
	}
	i := slices.IndexFunc(found, func(e entry) bool { return e.key == "match" })
	if i >= 0 {
		values, ok := mappingValues(found[i].value)
		if !ok || len(values) > 0 { // what else is wrong with it is told as it is read
			return nil
		}
	}
	return s.fail(n, "job-value", "the rule has no match; say which regions it is for: match: {fill: \"#1f4e79\"}, or by stroke, id, class or layer")
}
