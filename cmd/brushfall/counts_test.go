package main

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// namesJob is a design of lettering alone: two colours of one size on two plates.
const namesJob = `design: Crew names
stone: {size: SS6, colour: crystal}
lettering:
  - {id: upper, text: Herons, face: Archivo ExtraBold, height: 24 mm}
  - {id: lower, text: Regatta, face: Lora Bold, height: 18 mm, at: below}
regions:
  - match: {id: lower}
    stone: {colour: jet}
`

// ours gives the path of a file of examples/.
func ours(t *testing.T, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("..", "..", "examples", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// Everything that counts counts the same: the stones of layout.json, counts.csv, the
// ticket as poppler reads it (its table, its total and the steps, plate by plate), the
// holes of the cut files (SVG read as XML, DXF by ezdxf, HP-GL by its grammar, PDF by
// poppler), and what the book uses, quantity by quantity. The designs have several plates,
// mixed sizes with accents, lettering, the common sheets of a gang and of a list.
func TestEverythingCountsTheSame(t *testing.T) {
	heron, heart, regatta := ours(t, "heron/heron.yaml"), ours(t, "heart/heart.yaml"), ours(t, "regatta")
	crewDesk(t)
	t.Setenv("XDG_DATA_HOME", filepath.Join(mustWd(t), "data"))
	put(t, "names.yaml", namesJob)
	put(t, "crew.csv", "name;width;colour;quantity\nEel;30;;2\nPike;33;jet;\nEel;30;;\n")
	for name, from := range map[string]string{"heron": heron, "heart": heart, "names": "names.yaml", "badge": "badge.yaml"} {
		does(t, "make", from, "--effort", "live", "-o", name)
	}
	gang, args := map[string]int{}, []string{"gang", "--effort", "live", "-o", "gang"}
	for i, d := range []struct{ file, folder string }{
		{"star", "winner-star"},
		{"cup", "club-cup"},
		{"scull", "racing-scull"},
		{"buoy", "turning-buoy"},
		{"oars", "crossed-oars"},
		{"pennant", "club-pennant"},
		{"ring", "life-ring"},
		{"water", "open-water"},
	} {
		gang[d.folder] = 1 + i%2
		args = append(args, filepath.Join(regatta, d.file+".yaml")+":"+strconv.Itoa(gang[d.folder]))
	}
	does(t, args...)
	does(t, "roster", "crew.yaml", "crew.csv", "-o", "crew")

	runs := map[string]map[string]int{
		"heron": {"": 1}, "heart": {"": 1}, "names": {"": 1}, "badge": {"": 1},
		"gang": gang,
		"crew": {"badge-eel": 1, "badge-pike": 1},
	}
	for folder, templates := range runs {
		for own := range templates {
			checkTicket(t, filepath.Join(folder, own))
		}
	}
	checkCommon(t, "gang", gang)
	checkCommon(t, "crew", map[string]int{"badge-eel": 3, "badge-pike": 1})
	checkCuts(t, runs)
	checkLedger(t, map[string]int{"heron": 1, "heart": 2, "names": 3, "badge": 1})
}

// checkTicket holds a design's own ticket and counts to its stones.
func checkTicket(t *testing.T, folder string) {
	t.Helper()
	l, text := laidIn(t, folder), printedPaper(t, folder, "-layout")
	stones, table, shown := l.tally(0), csvRows(t, folder), printedRows(t, text)
	sameRows(t, folder, table, shown, len(l.Stones))
	for kind, n := range stones {
		if table[kind].pieces != n {
			t.Errorf("%s: counts.csv has %d of %s, the design %d", folder, table[kind].pieces, kind, n)
		}
	}
	plates := printedPlates(t, text)
	if len(plates) != len(l.Plates) {
		t.Errorf("%s: the ticket brushes %d plates of %d", folder, len(plates), len(l.Plates))
	}
	for _, p := range l.Plates {
		if want := l.tally(p.Number); !maps.Equal(plates[p.Number], want) {
			t.Errorf("%s, plate %d: the ticket brushes %v, the design has %v", folder, p.Number, plates[p.Number], want)
		}
	}
}

// sameRows holds a paper's rows to those of counts.csv, and both to the number of stones.
func sameRows(t *testing.T, folder string, table, shown map[string]row, stones int) {
	t.Helper()
	if table["total"].pieces != stones {
		t.Errorf("%s: counts.csv has %d stones in all, want %d", folder, table["total"].pieces, stones)
	}
	if all, told := shown["All together"]; told && all.pieces != stones || !told && len(table) > 2 {
		t.Errorf("%s: the ticket has %d stones in all, want %d", folder, all.pieces, stones)
	}
	for kind, want := range table {
		if kind == "total" {
			continue
		}
		got := shown[kind]
		if math.Abs(got.grams-want.grams) > 0.056 { // of counts.csv a hundredth, of the ticket a tenth
			t.Errorf("%s, %s: %g g on the ticket, %g in counts.csv", folder, kind, got.grams, want.grams)
		}
		if got.grams = want.grams; got != want {
			t.Errorf("%s, %s: %+v on the ticket, %+v in counts.csv", folder, kind, got, want)
		}
	}
	if kinds := len(shown); kinds > len(table) {
		t.Errorf("%s: the ticket has more kinds than counts.csv: %v", folder, shown)
	}
}

// checkCommon holds the counts and the paper of common sheets to the stones of all
// transfers.
func checkCommon(t *testing.T, folder string, transfers map[string]int) {
	t.Helper()
	stones, all := map[string]int{}, 0
	for own, n := range transfers {
		for kind, pieces := range laidIn(t, filepath.Join(folder, own)).tally(0) {
			stones[kind] += n * pieces
			all += n * pieces
		}
	}
	table := csvRows(t, folder)
	sameRows(t, folder, table, printedRows(t, printedPaper(t, folder, "-layout")), all)
	for kind, n := range stones {
		if table[kind].pieces != n {
			t.Errorf("%s: counts.csv has %d of %s, all transfers take %d", folder, table[kind].pieces, kind, n)
		}
	}
}

// checkCuts holds the holes of every cut file to the stones of the templates in it.
func checkCuts(t *testing.T, runs map[string]map[string]int) {
	t.Helper()
	var drawings []string
	var plates [][]cutPlate
	var of []string
	dxf := map[string]holes{}
	for _, folder := range slices.Sorted(maps.Keys(runs)) {
		want := holes{}
		for own, n := range runs[folder] {
			laidIn(t, filepath.Join(folder, own)).must(want, n)
		}
		svg, sheets := svgHoles(t, folder)
		plt, pdf := holes{}, holes{}
		for i, on := range sheets {
			sheet := filepath.Join(folder, fmt.Sprintf("sheet-%d", i+1))
			pltHoles(t, sheet+".plt", on, plt)
			pdfHoles(t, sheet+".pdf", on, pdf)
			drawings, plates, of = append(drawings, sheet+".dxf"), append(plates, on), append(of, folder)
		}
		for kind, got := range map[string]holes{"SVG": svg, "HP-GL": plt, "PDF": pdf} {
			sameHoles(t, folder+", "+kind, got, want)
		}
		dxf[folder] = holes{}
		defer func() { sameHoles(t, folder+", DXF", dxf[folder], want) }()
	}
	for i, circles := range dxfCircles(t, drawings) {
		for _, c := range circles {
			at := slices.IndexFunc(plates[i], func(p cutPlate) bool { return strings.EqualFold(p.name+"-holes", c.layer) })
			if at < 0 {
				t.Fatalf("%s: a hole on the layer %q", drawings[i], c.layer)
			}
			dxf[of[i]].add(plates[i][at].design, plates[i][at].number, 2*c.radius, 1)
		}
	}
}

func sameHoles(t *testing.T, what string, got, want holes) {
	t.Helper()
	if !maps.Equal(got, want) {
		t.Errorf("%s has the holes %v, want %v", what, got, want)
	}
}

// checkLedger makes jobs of so many transfers and holds what the book used to the stones
// times the quantity: neither the spare ones of the ticket nor, until it is booked, waste.
func checkLedger(t *testing.T, quantity map[string]int) {
	t.Helper()
	used, spare := map[string]int{}, map[string]int{}
	for _, folder := range slices.Sorted(maps.Keys(quantity)) {
		for kind, n := range laidIn(t, folder).tally(0) {
			used[kind] += n * quantity[folder]
			spare[kind] += csvRows(t, folder)[kind].take * quantity[folder]
		}
	}
	for kind, n := range spare {
		size, colour, _ := strings.Cut(kind, " ")
		does(t, "stock", "receive", "--size", size, "--colour", colour, "--pieces", strconv.Itoa(2*n), "--cost", "1")
	}
	does(t, "job", "add", "heron=1:disc", "heart=2:garment", "names=3:bag", "badge=1:shelf")
	does(t, "job", "promise", "1")
	var reserved []shortageRow
	does(t, "job", "short", "--all", "--json").reads(t, &reserved)
	for _, r := range reserved {
		if n, ok := spare[r.Size+" "+r.Colour]; ok && r.Reserved != n {
			t.Errorf("%d of %s %s reserved, want %d: the pieces with spare ones", r.Reserved, r.Size, r.Colour, n)
		}
	}
	does(t, "job", "make", "1", "--line", "3", "--transfers", "2")
	does(t, "job", "make", "1")
	sameLedger(t, "used", used)
	wasted := laidIn(t, "badge").tally(0)
	does(t, "job", "waste", "1", "--line", "4", "--transfers", "1")
	does(t, "job", "waste", "1", "--line", "1", "--size", "SS6", "--colour", "crystal", "--pieces", "3")
	wasted["SS6 crystal"] += 3
	sameLedger(t, "used", used)
	sameLedger(t, "spoiled", wasted)
	for kind, n := range spare {
		size, colour, _ := strings.Cut(kind, " ")
		if left := pieces(t, "", size, colour); left != 2*n-used[kind]-wasted[kind] {
			t.Errorf("%d of %s on hand, want %d", left, kind, 2*n-used[kind]-wasted[kind])
		}
	}
}

// sameLedger holds what was booked of stones in one way to what it must be.
func sameLedger(t *testing.T, what string, want map[string]int) {
	t.Helper()
	var deeds []booked
	does(t, "stock", "history", "--most", "1000", "--json").reads(t, &deeds)
	got := map[string]int{}
	for _, d := range deeds {
		if d.What == what && strings.HasPrefix(d.Size, "SS") {
			got[d.Size+" "+d.Colour] += d.Pieces
		}
	}
	if !maps.Equal(got, want) {
		t.Errorf("the ledger has %s %v, want %v", what, got, want)
	}
}
