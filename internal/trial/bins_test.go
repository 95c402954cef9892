package trial

import (
	"os"
	"strings"
	"testing"
)

// The stored sets are whole: 5 classes of 50, each with its best known number, and
// none is bettered by the plain way.
func TestStoredBinsAreWhole(t *testing.T) {
	n := 0
	for _, class := range []string{"01", "03", "05", "07", "09"} {
		name := "Class_" + class + ".2bp"
		f, err := os.Open("testdata/bins/" + name)
		if err != nil {
			t.Fatal(err)
		}
		sets, err := ReadBins(f, name)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		best, err := os.Open("testdata/bins/best_known.csv")
		if err != nil {
			t.Fatal(err)
		}
		if err := ReadBest(best, sets); err != nil {
			t.Fatal(err)
		}
		best.Close()
		for _, s := range sets {
			if plain := shelf(s); s.Best < 1 || plain < s.Best {
				t.Errorf("%s: best known %d, plain way %d", s.Name, s.Best, plain)
			}
			n++
		}
	}
	if n != 250 {
		t.Errorf("%d sets, want 250", n)
	}
}

// By hand: on 10 × 10, 9×4, 7×3 and 3×3 (lying) make shelves of 4 and 3; 10×6 wants
// a shelf of 6, which begins the first sheet: 6 + 4, and the rest on a second.
func TestShelvesByHand(t *testing.T) {
	b := Bins{W: 10, H: 10, Items: [][2]int{{4, 9}, {7, 3}, {3, 3}, {10, 6}}}
	if n := shelf(b); n != 2 {
		t.Errorf("%d sheets, want 2", n)
	}
}

// A set that ends early or has no sides is refused.
func FuzzReadBins(f *testing.F) {
	f.Add("1 CLASS\n2 N\n1 1\n10 10\n9 5\n2 4\n")
	f.Add("1\n2\n1\n10 10\n9 5\n")
	f.Add("1\n1\n1\n10 10\n0 5\n")
	f.Fuzz(func(t *testing.T, text string) {
		sets, err := ReadBins(strings.NewReader(text), "x")
		for _, s := range sets {
			if err == nil && len(s.Items) == 0 {
				t.Fatal("a set without rectangles")
			}
		}
	})
}
