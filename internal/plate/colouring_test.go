package plate

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// mycielski gives the graph of Mycielski's construction over another: one more
// colour is needed and no triangle is added (Colloq. Math. 3, 1955).
func mycielski(adj [][]int) [][]int {
	n := len(adj)
	out := make([][]int, 2*n+1)
	link := func(a, b int) { out[a], out[b] = append(out[a], b), append(out[b], a) }
	for v := range adj {
		for _, u := range adj[v] {
			if v < u {
				link(v, u)
			}
			link(n+v, u)
		}
		link(n+v, 2*n)
	}
	for v := range out {
		slices.Sort(out[v])
	}
	return out
}

func ring(n int) [][]int {
	out := make([][]int, n)
	for v := range out {
		out[v] = []int{(v + 1) % n, (v + n - 1) % n}
		slices.Sort(out[v])
	}
	return out
}

// queens gives the graph of the squares of a board, joined where a queen goes.
func queens(n int) [][]int {
	out := make([][]int, n*n)
	for a := range out {
		for b := range out {
			dx, dy := a%n-b%n, a/n-b/n
			if a != b && (dx == 0 || dy == 0 || dx == dy || dx == -dy) {
				out[a] = append(out[a], b)
			}
		}
	}
	return out
}

// petersen gives the Petersen graph, chromatic number 3.
func petersen() [][]int {
	out := make([][]int, 10)
	for i := range 5 {
		out[i] = []int{(i + 1) % 5, (i + 4) % 5, i + 5}
		out[i+5] = []int{i, 5 + (i+2)%5, 5 + (i+3)%5}
		slices.Sort(out[i])
		slices.Sort(out[i+5])
	}
	return out
}

// Graphs with a known chromatic number: myciel3, myciel4 and queen5_5 are
// instances of the second DIMACS challenge (Johnson & Trick, DIMACS 26, 1996).
func TestKnownChromaticNumbers(t *testing.T) {
	for name, c := range map[string]struct {
		adj  [][]int
		want int
	}{
		"nothing": {nil, 0}, "one": {make([][]int, 1), 1}, "even ring": {ring(80), 2}, "odd ring": {ring(81), 3}, "petersen": {petersen(), 3},
		"myciel3": {mycielski(ring(5)), 4}, "myciel4": {mycielski(mycielski(ring(5))), 5}, "queen5_5": {queens(5), 5},
	} {
		of, n := colour(c.adj)
		if n != c.want {
			t.Errorf("%s: %d colours, want %d", name, n, c.want)
		}
		if least := leastColours(c.adj); least > c.want {
			t.Errorf("%s: bound %d above %d", name, least, c.want)
		}
		checkColours(t, name, c.adj, of, n)
	}
}

func checkColours(t *testing.T, name string, adj [][]int, of []int, n int) {
	t.Helper()
	for v := range adj {
		if of[v] < 0 || of[v] >= n {
			t.Fatalf("%s: colour %d of %d", name, of[v], n)
		}
		for _, u := range adj[v] {
			if of[u] == of[v] {
				t.Fatalf("%s: neighbours %d and %d are both %d", name, v, u, of[v])
			}
		}
	}
}

// Four vertices all joined need four colours, and the bound knows.
func TestBoundOfFourJoined(t *testing.T) {
	four := [][]int{{1, 2, 3}, {0, 2, 3}, {0, 1, 3}, {0, 1, 2}}
	if got := leastColours(four); got != 4 {
		t.Errorf("bound %d, want 4", got)
	}
}

// A colouring that wastes colours is bettered down to the known number.
func TestSqueezingWaste(t *testing.T) {
	for name, c := range map[string]struct {
		adj  [][]int
		want int
	}{
		"odd ring": {ring(81), 3}, "petersen": {petersen(), 3}, "myciel3": {mycielski(ring(5)), 4},
		"myciel4": {mycielski(mycielski(ring(5))), 5}, "queen5_5": {queens(5), 5},
	} {
		waste := make([]int, len(c.adj))
		for v := range waste {
			waste[v] = v
		}
		of := squeeze(c.adj, waste)
		if n := byUse(of); n != c.want {
			t.Errorf("%s: %d colours, want %d", name, n, c.want)
		}
		checkColours(t, name, c.adj, of, c.want)
	}
	// A search that runs out of steps keeps what it has.
	s := &search{adj: ring(5), count: 3, of: []int{-1, -1, -1, -1, -1}, hues: make([]int, 5), steps: 12}
	for range 5 {
		s.sees = append(s.sees, make([]int, 3))
	}
	if s.run() {
		t.Error("a search without steps says that it is done")
	}
}

// Random graphs are coloured without a clash, whatever road the search takes.
func TestRandomGraphs(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 40 {
		n := 5 + rng.IntN(60)
		adj := make([][]int, n)
		for a := range n {
			for b := range a {
				if rng.Float64() < 0.15 {
					adj[a], adj[b] = append(adj[a], b), append(adj[b], a)
				}
			}
		}
		for v := range adj {
			slices.Sort(adj[v])
		}
		of, count := colour(adj)
		checkColours(t, "random", adj, of, count)
		if least := leastColours(adj); least > count {
			t.Errorf("bound %d above %d", least, count)
		}
	}
}
