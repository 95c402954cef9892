package job

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
	"brushfall/internal/layout"
)

// shareText writes a share with six decimals at most: a thousandth of a
// millimetre on a design a metre wide.
func shareText(v float64) string {
	text := strings.TrimRight(strconv.FormatFloat(v, 'f', 6, 64), "0")
	return strings.TrimSuffix(text, ".")
}

// plainWord is what stands in YAML without quotes and is read as text.
var plainWord = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)

func wordText(word string) string {
	if plainWord.MatchString(word) && !strings.EqualFold(word, "null") {
		return word
	}
	return strconv.Quote(word)
}

// String gives the edit as it stands in a job file, behind its dash.
func (e HandEdit) String() string {
	place := func(s Spot) string { return "[" + shareText(s[0]) + ", " + shareText(s[1]) + "]" }
	var b strings.Builder
	fmt.Fprintf(&b, "%s: {region: %s, at: %s", e.Act, wordText(e.Region), place(e.At))
	var stone []string
	if e.Stone.Size.Name != "" {
		stone = append(stone, "size: "+e.Stone.Size.Name)
	}
	if e.Stone.Colour.Name != "" {
		stone = append(stone, "colour: "+e.Stone.Colour.Name)
	}
	switch {
	case e.Act == layout.ActMove:
		b.WriteString(", to: " + place(e.To))
	case e.Act == layout.ActRecolour:
		b.WriteString(", colour: " + e.Colour.Name)
	case e.Act == layout.ActAdd && len(stone) > 0:
		b.WriteString(", stone: {" + strings.Join(stone, ", ") + "}")
	}
	b.WriteString("}")
	return b.String()
}

// AppendHand puts one more edit at the end of the list of a job file's text, and
// changes nothing else in it: no remark, no blank line. The result is read again
// to see that it is the same job with this edit. Faults: those of Parse, and
// "hand-form" where the list is not written with dashes, or the edit is none.
func AppendHand(name string, text []byte, e HandEdit) ([]byte, error) {
	before, err := Parse(name, text)
	if err != nil {
		return nil, err
	}
	line, indent, err := source{name: name}.endOfHand(text)
	if err != nil {
		return nil, err
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	ending := "\n"
	if bytes.Contains(text, []byte("\r\n")) {
		ending = "\r\n"
	}
	add := strings.Repeat(" ", indent) + "- " + e.String() + ending
	if line == 0 { // there is no list yet
		line, add = len(lines), "hand:"+ending+"  - "+e.String()+ending
	}
	head := bytes.Join(lines[:line], nil)
	if len(head) > 0 && !bytes.HasSuffix(head, []byte("\n")) {
		head = append(head, ending...)
	}
	out := slices.Concat(head, []byte(add), bytes.Join(lines[line:], nil))
	after, err := Parse(name, out)
	if err != nil || !sameButFor(before, after, e) {
		return nil, fault.New("hand-form", name, "the edit cannot be written behind the others; write the list under hand: with one line for each edit, - %s", e)
	}
	return out, nil
}

// endOfHand gives how many lines of a job file go up to the end of its last edit,
// and how far its dash is indented; 0 lines if there are none.
func (s source) endOfHand(text []byte) (lines, indent int, err error) {
	root, err := s.root(text)
	if err != nil {
		return 0, 0, err
	}
	values, _ := mappingValues(root)
	i := slices.IndexFunc(values, func(v *ast.MappingValueNode) bool { return v.Key.GetToken().Value == "hand" })
	if i < 0 {
		return 0, 0, nil
	}
	list, ok := values[i].Value.(*ast.SequenceNode)
	if !ok || list.IsFlowStyle || len(list.Values) == 0 {
		return 0, 0, s.fail(values[i].Key, "hand-form", "the list of edits is written in brackets; write each edit on a line of its own behind a dash")
	}
	all := bytes.Split(text, []byte("\n"))
	first := list.Start.Position.Line
	end := len(all)
	if i+1 < len(values) {
		end, _ = position(values[i+1].Key)
		end--
	}
	for end > first && !isContent(all[end-1]) {
		end--
	}
	return end, list.Start.Position.Column - 1, nil
}

// isContent says whether a line is more than blanks or a remark.
func isContent(line []byte) bool {
	line = bytes.TrimSpace(line)
	return len(line) > 0 && line[0] != '#'
}

// sameButFor says whether the later job is the earlier with one more edit. Lines
// may have moved.
func sameButFor(before, after Job, e HandEdit) bool {
	n := len(before.Hand)
	if len(after.Hand) != n+1 {
		return false
	}
	e.At, e.To = Spot{rounded(e.At[0]), rounded(e.At[1])}, Spot{rounded(e.To[0]), rounded(e.To[1])}
	before.Hand = append(slices.Clip(before.Hand), e)
	after.Hand = slices.Clone(after.Hand)
	before.Regions, after.Regions = slices.Clone(before.Regions), slices.Clone(after.Regions)
	for _, j := range []Job{before, after} {
		for i := range j.Hand {
			j.Hand[i].Line = 0
		}
		for i := range j.Regions {
			j.Regions[i].Line = 0
		}
	}
	return reflect.DeepEqual(before, after)
}
