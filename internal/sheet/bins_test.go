package sheet

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// binsPath names a folder of further instances for the benchmark.
var binsPath = flag.String("bins", "", "folder with Class_*.2bp and best_known_*.csv for BenchmarkBins")

// instance is one published set of rectangles with the best known numbers of bins.
type instance struct {
	name         string
	w, h         int
	fixed, turns int
	items        [][2]int
}

// nest packs an instance. Our least spacing is 2 mm, so a unit is drawn as
// 10 mm, and every side is 2 mm shorter: the same rectangles, in mere contact.
func (in instance) nest(tb testing.TB, turn bool) (sheets, bound int) {
	tb.Helper()
	opt := Options{Width: float64(10*in.w - 2), Height: float64(10*in.h - 2), Spacing: 2, Turn: turn}
	var items []Item
	for i, it := range in.items {
		items = append(items, Item{Design: in.name, Plate: i + 1, W: float64(10*it[0] - 2), H: float64(10*it[1] - 2)})
	}
	got, err := Nest(items, opt)
	if err != nil {
		tb.Fatalf("%s: %v", in.name, err)
	}
	checkSheets(tb, got, items, opt)
	return len(got), LowerBound(items, opt)
}

func readClassOne(tb testing.TB) []instance {
	tb.Helper()
	text, err := os.ReadFile("testdata/berkey_wang_class1.txt")
	if err != nil {
		tb.Fatal(err)
	}
	var out []instance
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		var in instance
		fields := strings.Fields(line)
		in.name = "class 1, " + fields[0] + " items, " + fields[1]
		fmt.Sscan(strings.Join(fields[2:6], " "), &in.w, &in.h, &in.fixed, &in.turns)
		for _, f := range fields[6:] {
			var it [2]int
			if _, err := fmt.Sscanf(f, "%dx%d", &it[0], &it[1]); err != nil {
				tb.Fatal(err)
			}
			in.items = append(in.items, it)
		}
		out = append(out, in)
	}
	return out
}

// Published rectangles (Berkey & Wang 1987; Martello & Vigo 1998): never fewer
// bins than the best known, which would be a broken rule, and in all at most 1.5 %
// more; and no bound above the best known.
func TestPublishedRectangles(t *testing.T) {
	instances := readClassOne(t)
	if len(instances) != 20 {
		t.Fatalf("%d instances, want 20", len(instances))
	}
	for _, turn := range []bool{false, true} {
		ours, best := 0, 0
		for _, in := range instances {
			known := in.fixed
			if turn {
				known = in.turns
			}
			n, bound := in.nest(t, turn)
			if n < known || bound > known {
				t.Errorf("%s, turned %v: %d sheets, bound %d, best known %d", in.name, turn, n, bound, known)
			}
			ours += n
			best += known
		}
		t.Logf("turned %v: %d sheets, best known %d", turn, ours, best)
		if float64(ours) > 1.015*float64(best) {
			t.Errorf("turned %v: %d sheets, more than 1.5 %% above the best known %d", turn, ours, best)
		}
	}
}

// BenchmarkBins nests the published rectangles of the testdata, or of every
// class in the folder -bins, and reports bins over best known.
func BenchmarkBins(b *testing.B) {
	instances := readClassOne(b)
	if *binsPath != "" {
		instances = readFolder(b, *binsPath)
	}
	for _, turn := range []bool{false, true} {
		b.Run(fmt.Sprintf("turned=%v", turn), func(b *testing.B) {
			for b.Loop() {
				ours, best := 0, 0
				for _, in := range instances {
					n, _ := in.nest(b, turn)
					ours += n
					if turn {
						best += in.turns
					} else {
						best += in.fixed
					}
				}
				b.ReportMetric(float64(ours)/float64(best), "bins/best")
				b.ReportMetric(float64(best), "best")
			}
		})
	}
}

func readFolder(b *testing.B, folder string) []instance {
	b.Helper()
	fixed, turns := readBest(b, filepath.Join(folder, "best_known_oriented.csv")), readBest(b, filepath.Join(folder, "best_known_rotation.csv"))
	paths, err := filepath.Glob(filepath.Join(folder, "Class_*.2bp"))
	if err != nil || len(paths) == 0 {
		b.Fatalf("no classes in %s: %v", folder, err)
	}
	var out []instance
	for _, path := range paths {
		file, err := os.Open(path)
		if err != nil {
			b.Fatal(err)
		}
		defer file.Close()
		lines := bufio.NewScanner(file)
		number := func(v ...any) {
			for lines.Scan() {
				if strings.TrimSpace(lines.Text()) != "" {
					fmt.Sscan(lines.Text(), v...)
					return
				}
			}
		}
		for {
			var class, n, rel int
			var in instance
			number(&class)
			number(&n)
			number(&rel)
			number(&in.h, &in.w)
			if n == 0 {
				break
			}
			for range n {
				var it [2]int
				number(&it[1], &it[0])
				in.items = append(in.items, it)
			}
			in.name = fmt.Sprintf("%s_%d_%d", filepath.Base(path), n, rel)
			in.fixed, in.turns = fixed[in.name], turns[in.name]
			out = append(out, in)
		}
	}
	return out
}

// readBest gives the best known number of bins by the name of the instance.
func readBest(b *testing.B, path string) map[string]int {
	b.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	out := map[string]int{}
	for line := range strings.Lines(string(text)) {
		if name, value, ok := strings.Cut(strings.TrimSpace(line), ","); ok {
			var n int
			fmt.Sscan(value, &n)
			out[filepath.Base(name)] = n
		}
	}
	return out
}
