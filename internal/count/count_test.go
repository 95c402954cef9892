package count

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files anew")

// kinds are kinds of the catalogue, in no order.
func kinds() []design.Kind {
	var out []design.Kind
	for _, k := range [][2]string{{"SS6", "jet"}, {"SS10", "crystal ab"}, {"SS30", "siam"}, {"SS10", "crystal"}, {"SS16", "gold"}} {
		s, err := catalogue.FindSize(k[0])
		if err != nil {
			panic(err)
		}
		out = append(out, design.Kind{Size: k[0], Colour: k[1], Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height})
	}
	return out
}

// stonesOf sets n stones of each kind.
func stonesOf(n ...int) []design.Stone {
	var out []design.Stone
	for i, k := range kinds() {
		for range n[i] {
			out = append(out, design.Stone{Size: k.Size, Colour: k.Colour})
		}
	}
	return out
}

// One pack filled by weight, about 1,500 stones, makes about 30 to 35 transfers
// of a simple ring motif (common practice). A ring of 45 SS10, with the spare.
func TestAPackMakesSomeThirtyRings(t *testing.T) {
	lines, err := Tally(stonesOf(0, 0, 0, 45, 0), kinds(), DefaultSpare)
	if err != nil || len(lines) != 1 || lines[0].Pieces != 45 || lines[0].Take != 46 {
		t.Fatalf("%+v %v", lines, err)
	}
	if n := lines[0].Transfers(catalogue.PackByWeight); n < 30 || n > 35 {
		t.Errorf("%d transfers from a pack, want 30 to 35", n)
	}
	if got := []int{lines[0].Transfers(45), lines[0].Transfers(92), lines[0].Transfers(-1), Line{}.Transfers(9)}; !slices.Equal(got, []int{0, 2, 0, 0}) {
		t.Errorf("transfers %v", got)
	}
}

// Rounding up to whole gross of 144 and packs of 1,440 (common practice).
func TestWholeGrossAndPacks(t *testing.T) {
	for _, c := range []struct {
		pieces, take, gross, packs int
		spare                      float64
	}{
		{1, 1, 1, 1, 0},
		{144, 144, 1, 1, 0},
		{145, 145, 2, 1, 0},
		{1440, 1440, 10, 1, 0},
		{1441, 1441, 11, 2, 0},
		{142, 145, 2, 1, 0.02}, // 2.84 spare stones are 3
		{50, 51, 1, 1, 0.02},   // exactly one
		{1412, 1441, 11, 2, 0.02},
		{3, 6, 1, 1, 1},
	} {
		lines, err := Tally(stonesOf(c.pieces, 0, 0, 0, 0), kinds(), c.spare)
		if err != nil || len(lines) != 1 {
			t.Fatal(lines, err)
		}
		if l := lines[0]; l.Take != c.take || l.Gross != c.gross || l.Packs != c.packs || l.Pieces != c.pieces {
			t.Errorf("%+v, want %+v", l, c)
		}
	}
}

func TestGoldenCounts(t *testing.T) {
	lines, err := Tally(stonesOf(318, 1412, 1, 145, 0), kinds(), DefaultSpare)
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := WriteCSV(&got, lines); err != nil {
		t.Fatal(err)
	}
	const path = "testdata/counts.csv"
	if *update {
		if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("counts.csv is\n%s\nwant\n%s", got.Bytes(), want)
	}
}

// Whatever the stones: every one is counted once, lines are sorted, what is
// taken suffices and no whole pack of it is too many, and the file says the same.
func TestCountsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SliceOfN(rapid.IntRange(0, 400), 5, 5).Draw(t, "pieces")
		spare := rapid.Float64Range(0, 0.2).Draw(t, "spare")
		stones := stonesOf(n...)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		rng.Shuffle(len(stones), func(i, j int) { stones[i], stones[j] = stones[j], stones[i] })
		lines, err := Tally(stones, kinds(), spare)
		if err != nil {
			t.Fatal(err)
		}
		for i, l := range lines {
			k := slices.IndexFunc(kinds(), func(k design.Kind) bool { return k.Size == l.Size && k.Colour == l.Colour })
			if l.Pieces != n[k] || l.Pieces == 0 {
				t.Fatalf("%+v, want %d pieces", l, n[k])
			}
			extra := float64(l.Take) - float64(l.Pieces)*(1+spare)
			if extra < -0.01 || extra >= 1.01 || l.Gross*144 < l.Take || (l.Gross-1)*144 >= l.Take || l.Packs*1440 < l.Take || (l.Packs-1)*1440 >= l.Take {
				t.Fatalf("%+v with %g spare", l, spare)
			}
			if i > 0 && sizeOf(l) > sizeOf(lines[i-1]) || i > 0 && l.Size == lines[i-1].Size && l.Colour <= lines[i-1].Colour {
				t.Fatalf("%+v after %+v", l, lines[i-1])
			}
		}
		checkFile(t, lines, len(stones))
	})
}

func sizeOf(l Line) float64 {
	s, err := catalogue.FindSize(l.Size)
	if err != nil {
		panic(err)
	}
	return s.Largest
}

// checkFile reads the written file back and adds its rows up.
func checkFile(t *rapid.T, lines []Line, stones int) {
	var file bytes.Buffer
	if err := WriteCSV(&file, lines); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&file).ReadAll()
	if err != nil || len(rows) != len(lines)+2 {
		t.Fatalf("%d rows for %d lines: %v", len(rows), len(lines), err)
	}
	sum, grams := 0, 0.0
	for i, r := range rows[1 : len(rows)-1] {
		pieces, _ := strconv.Atoi(r[2])
		mass, _ := strconv.ParseFloat(r[6], 64)
		if r[0] != lines[i].Size || r[1] != lines[i].Colour {
			t.Fatalf("row %v for %+v", r, lines[i])
		}
		sum += pieces
		grams += mass
	}
	last := rows[len(rows)-1]
	total, _ := strconv.Atoi(last[2])
	mass, _ := strconv.ParseFloat(last[6], 64)
	if last[0] != "total" || total != stones || sum != stones || math.Abs(mass-grams) > 0.01*float64(len(rows)) {
		t.Fatalf("rows add up to %d and %g g, total says %v, stones are %d", sum, grams, last, stones)
	}
}

func TestWhatCannotBeCounted(t *testing.T) {
	odd := append(kinds(), design.Kind{Size: "SS11", Colour: "jet", Diameter: 3})
	for _, c := range []struct {
		stones []design.Stone
		kinds  []design.Kind
		spare  float64
		code   string
	}{
		{[]design.Stone{{Size: "SS6", Colour: "siam"}}, kinds(), 0, "kind-unknown"},
		{[]design.Stone{{Size: "SS11", Colour: "jet"}}, odd, 0, "size-unknown"},
		{nil, kinds(), -0.1, "spare"},
		{nil, kinds(), math.NaN(), "spare"},
		{nil, kinds(), 2, "spare"},
	} {
		if _, err := Tally(c.stones, c.kinds, c.spare); fault.CodeOf(err) != c.code {
			t.Errorf("%v, want %s", err, c.code)
		}
	}
	if lines, err := Tally(nil, kinds(), 0); err != nil || lines != nil {
		t.Errorf("no stones: %v %v", lines, err)
	}
	if err := WriteCSV(broken{}, nil); !errors.Is(err, errBroken) {
		t.Errorf("a writer that fails: %v", err)
	}
}

var errBroken = errors.New("the disk is full")

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errBroken }

// Tape from sheets of 12 × 12 in = 304.8 mm with a flap of 40 mm, by hand.
func TestTape(t *testing.T) {
	for _, c := range []struct {
		name             string
		w, h             float64
		perSheet, sheets int
		forTen           int
	}{
		{"3 in ring: 88.9 × 128.9, three by two", 88.9, 88.9, 6, 1, 2},
		{"9.5 in badge: 253.3 × 240", 253.3, 200, 1, 1, 10},
		{"flap beside: 290 × 264.8 + 40", 264.8, 290, 1, 1, 10},
		{"too high for one: 253.3 × 340", 253.3, 300, 1, 1, 10},
		{"two sheets: 280 × 340", 280, 300, 0, 2, 20},
		{"whole flock: 304.8 × 508 + 40", 304.8, 508, 0, 2, 20},
		{"nothing", 0, 10, 0, 0, 0},
		{"no number", math.NaN(), 10, 0, 0, 0},
		{"endless", math.Inf(1), 10, 0, 0, 0},
	} {
		got := TapeFor(c.w, c.h)
		if got.PerSheet != c.perSheet || got.Sheets != c.sheets || got.SheetsFor(10) != c.forTen || got.SheetsFor(0) != 0 {
			t.Errorf("%s: %+v, %d for ten", c.name, got, got.SheetsFor(10))
		}
	}
}

// full takes nothing, as a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room left") }

func TestWriteCSVToAFullDisk(t *testing.T) {
	if err := WriteCSV(full{}, nil); fault.CodeOf(err) != "counts-write" || !strings.Contains(err.Error(), "no room left") {
		t.Errorf("a full disk gave %v", err)
	}
}
