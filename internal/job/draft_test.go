package job

import (
	"reflect"
	"testing"

	"brushfall/internal/design"
	"brushfall/internal/layout"
)

// A draft with a memory of the one before is the draft without, whatever has
// changed, and the document that Run inspects and cuts.
func TestDraftsWithMemory(t *testing.T) {
	j := Default("flag.svg")
	j.Artwork = []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">
<rect id="field" width="90" height="60" fill="#123456"/><circle id="sun" cx="45" cy="30" r="18" fill="#fff"/>
<path id="pole" d="M5 5V55" stroke="#000" fill="none"/></svg>`)
	j.Width, j.Effort = 90, layout.Live
	memory := &Memory{}
	for _, c := range []struct {
		name   string
		change func()
		fresh  int
	}{
		{"at first", func() {}, 3},
		{"nothing", func() {}, 0},
		{"the gap", func() { j.Gap = Gap{Fixed: true, Clear: 1.1} }, 3},
		{"the colour", func() { j.Stone.Colour.Name = "jet" }, 0},
		{"one region's bed", func() {
			s := j.Setting
			s.Bed = design.Echo
			j.Regions = []Rule{{Match: Match{ID: "sun"}, Setting: s}}
		}, 3}, // it is laid first now
		{"the pole's gap", func() {
			s := j.Setting
			s.Gap = Gap{Fixed: true, Clear: 2}
			j.Regions = append(j.Regions, Rule{Match: Match{ID: "field"}, Setting: j.Setting}, Rule{Match: Match{ID: "pole"}, Setting: s})
		}, 1},
		{"the width", func() { j.Width = 80 }, 3},
		{"the artwork", func() { j.Artwork = append([]byte("<!-- again -->"), j.Artwork...) }, 0},
	} {
		c.change()
		got, err := Lay(t.Context(), j, memory, nil)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if n := memory.stones.Fresh(); n != c.fresh {
			t.Errorf("%s: %d regions are laid, want %d", c.name, n, c.fresh)
		}
		if want, err := Lay(t.Context(), j, nil, nil); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: the draft differs from one without memory (%v)", c.name, err)
		}
	}
	d, err := Lay(t.Context(), j, memory, nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := Run(t.Context(), j, nil)
	if err != nil || !reflect.DeepEqual(res.Document, d.Document) || !reflect.DeepEqual(res.Counts, d.Counts) || !reflect.DeepEqual(res.Findings, d.Inspect()) {
		t.Errorf("Run differs from its first part (%v)", err)
	}
	j.Width, j.Artwork = 90, []byte("<svg")
	if _, err := Lay(t.Context(), j, memory, nil); err == nil {
		t.Error("artwork that cannot be read is taken for what is remembered")
	}
}
