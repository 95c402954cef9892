package svgin

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"

	"brushfall/internal/artwork"
	"brushfall/internal/fault"
)

const head = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100">`

func read(t testing.TB, body string) artwork.Drawing {
	t.Helper()
	d, err := Read(strings.NewReader(head+body+"</svg>"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := artwork.Check(d); err != nil {
		t.Fatal(err)
	}
	return d
}

// laughs builds a chain of groups in which each uses the one before ten times.
func laughs() string {
	var b strings.Builder
	b.WriteString(`<defs><rect id="u0" width="1" height="1"/>`)
	for i := range 9 {
		fmt.Fprintf(&b, `<g id="u%d">%s</g>`, i+1, strings.Repeat(fmt.Sprintf(`<use href="#u%d"/>`, i), 10))
	}
	return b.String() + `</defs><use href="#u9"/>`
}

func TestRefusals(t *testing.T) {
	deep := strings.Repeat("<g>", 300) + strings.Repeat("</g>", 300)
	bomb := `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;"><!ENTITY e "&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;"><!ENTITY f "&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;"><!ENTITY g "&f;&f;&f;&f;">]>`
	nested := ""
	for i := range 300 {
		nested += fmt.Sprintf(`<!ENTITY a%03d "&a%03d;">`, i, i+1)
	}
	cases := []struct {
		name, text string
		opt        Options
		code, has  string
	}{
		{"empty", "", Options{}, "svg-none", ""},
		{"no svg", "<html/>", Options{}, "svg-none", "<html>"},
		{"words", "hello", Options{}, "svg-none", ""},
		{"unclosed", head + "\n<g>\n", Options{}, "svg-not-xml", "line 3"},
		{"mismatch", head + "\n\n<g></h></svg>", Options{}, "svg-not-xml", "line 3"},
		{"entity unknown", head + "&nbsp;</svg>", Options{}, "svg-not-xml", "line 1"},
		{"two roots", head + "</svg>\n<svg/>", Options{}, "svg-not-xml", "line 2"},
		{"bytes", head + "</svg>", Options{MaxBytes: 20}, "svg-too-large", "20 bytes"},
		{"elements", head + "<g/><g/><g/></svg>", Options{MaxElements: 3}, "svg-too-many-elements", "3 elements"},
		{"depth", head + deep + "</svg>", Options{}, "svg-too-deep", "line 1, <g>"},
		{"uses", head + laughs() + "</svg>", Options{}, "svg-too-many-uses", "<use>"},
		{"elements by use", head + laughs() + "</svg>", Options{MaxUses: 1 << 30}, "svg-too-many-elements", ""},
		{"points", head + `<circle r="40"/></svg>`, Options{MaxPoints: 10}, "svg-too-many-points", "<circle>"},
		{"dashes", head + `<path d="M0 0H1e5" stroke="#000" stroke-dasharray="1e-9"/></svg>`, Options{}, "svg-too-many-points", "dashes"},
		{"many curves", head + `<path d="M0 0` + strings.Repeat("c9e6 0 0 9e6 9 9 ", 2000) + `"/></svg>`, Options{}, "svg-too-many-points", "<path>"},
		{"round corners", head + `<path fill="none" stroke="#000" stroke-width="9e5" stroke-linejoin="round" d="M0 0` + strings.Repeat("l1 1-1 0 ", 2000) + `"/></svg>`, Options{}, "svg-too-many-points", "round ends"},
		{"boxes of clipped groups", head + `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width="1" height="1"/></clipPath><circle r="1" stroke="#000" clip-path="url(#c)"/></svg>`, Options{MaxPoints: 110}, "svg-too-many-points", "<circle>"},
		{"use of itself", head + "\n" + `<use id="u" href="#u"/></svg>`, Options{}, "svg-use-cycle", "line 2, <use id=u>"},
		{"use of its group", head + `<g id="g"><use href="#g"/></g></svg>`, Options{}, "svg-use-cycle", "<g id=g>"},
		{"two uses in a ring", head + `<g id="a"><use href="#b"/></g><defs><g id="b"><use href="#a"/></g></defs></svg>`, Options{}, "svg-use-cycle", ""},
		{"clip of itself", head + "\n" + `<clipPath id="c"><rect clip-path="url(#c)" width="9" height="9"/></clipPath><rect id="r" width="9" height="9" clip-path="url(#c)"/></svg>`, Options{}, "svg-clip-cycle", "<clipPath id=c>"},
		{"clips in a ring", head + `<clipPath id="c" clip-path="url(#d)"><rect width="9" height="9"/></clipPath><clipPath id="d" clip-path="url(#c)"><rect width="9" height="9"/></clipPath><rect width="9" height="9" clip-path="url(#c)"/></svg>`, Options{}, "svg-clip-cycle", ""},
		{"entity bomb", bomb + head + "&g;</svg>", Options{}, "svg-entity-bomb", "<!DOCTYPE>"},
		{"entity flood", `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaaaaaaaaaaaaaaaa">]>` + head + strings.Repeat("&a;", 60000) + "</svg>", Options{}, "svg-entity-bomb", ""},
		{"entities in a ring", `<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]>` + head + "</svg>", Options{}, "svg-entity-cycle", ""},
		{"entities in entities", "<!DOCTYPE svg [" + nested + "]>" + head + "</svg>", Options{}, "svg-too-deep", "<!DOCTYPE>"},
		{"many rules of one class", head + "<style>" + strings.Repeat(".a{fill:red}", 100) + "</style>" + strings.Repeat(`<g class="a"/>`, 100) + "</svg>", Options{MaxSheetWork: 10_000}, "svg-sheet-too-heavy", ""},
		{"heavy sheet", head + "<style>" + strings.Repeat("g g g g g g g *{fill:red}", 50) + "</style>" + strings.Repeat("<g>", 60) + strings.Repeat("</g>", 60) + "</svg>", Options{}, "svg-sheet-too-heavy", ""},
	}
	for _, c := range cases {
		_, err := Read(strings.NewReader(c.text), c.opt)
		e, ok := errors.AsType[*fault.Error](err)
		if !ok || e.Code != c.code || !strings.Contains(e.Error(), c.has) || e.Kind != fault.Input {
			t.Errorf("%s: %v, want code %s with %q", c.name, err, c.code, c.has)
		}
	}
}

// TestFlattenStops sees that flattening ends at the limit and not after it: each of
// these curves has thousands of points.
func TestFlattenStops(t *testing.T) {
	segs, _ := parsePath("M0 0" + strings.Repeat("c9e6 0 0 9e6 9 9 ", 1000))
	calls := testing.AllocsPerRun(1, func() {
		if _, ok := flatten(segs, 0.01, 5000); ok {
			t.Error("a million points pass for 5000")
		}
	})
	if calls > 40 {
		t.Errorf("%v allocations: it goes on past the limit", calls)
	}
}

func TestReadFails(t *testing.T) {
	if _, err := Read(iotest.ErrReader(errors.New("gone")), Options{}); fault.CodeOf(err) != "svg-unreadable" {
		t.Errorf("%v", err)
	}
	if _, err := Read(bytes.NewReader([]byte{0x1f, 0x8b, 1, 2}), Options{}); fault.CodeOf(err) != "svg-unreadable" {
		t.Errorf("%v", err)
	}
}

// TestEncodings reads one drawing in the encodings that drawing programs write.
func TestEncodings(t *testing.T) {
	body := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect id="é" width="5" height="5"/></svg>`
	latin := strings.ReplaceAll(`<?xml version="1.0" encoding="ISO-8859-1"?>`+body, "é", "\xe9")
	wide := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(`<?xml version="1.0" encoding="UTF-16"?>` + body)) {
		wide = append(wide, byte(u), byte(u>>8))
	}
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	z.Write([]byte(body))
	z.Close()
	for name, data := range map[string][]byte{"utf-8": []byte(body), "bom": []byte("\xef\xbb\xbf" + body), "latin 1": []byte(latin), "utf-16": wide, "gzip": zipped.Bytes()} {
		d, err := Read(bytes.NewReader(data), Options{})
		if err != nil || len(d.Regions) != 1 || d.Regions[0].ID != "é" {
			t.Errorf("%s: %v %v", name, d.Regions, err)
		}
	}
}

func TestWarningsAreBounded(t *testing.T) {
	var b strings.Builder
	for i := range 30 {
		fmt.Fprintf(&b, "<text id='t%d'>x</text>", i)
	}
	d, err := Read(strings.NewReader(head+b.String()+"</svg>"), Options{MaxWarnings: 10})
	if err != nil || len(d.Warnings) != 11 || d.Warnings[10].Code != "more-warnings" || !strings.HasPrefix(d.Warnings[10].Message, "20 more") {
		t.Errorf("%v %v", d.Warnings, err)
	}
}
