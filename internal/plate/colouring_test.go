package plate

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
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
		of, n, least := colour(c.adj)
		if n != c.want {
			t.Errorf("%s: %d colours, want %d", name, n, c.want)
		}
		if quick := leastColours(c.adj); least.n != c.want || quick.n > c.want {
			t.Errorf("%s: bound %+v, quickly %+v", name, least, quick)
		}
		checkColours(t, name, c.adj, of, n)
	}
}

func checkColours(t rapid.TB, name string, adj [][]int, of []int, n int) {
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

// Bounds that are found at once: cliques, odd rings, and a wheel with an odd rim.
func TestQuickBounds(t *testing.T) {
	four := [][]int{{1, 2, 3}, {0, 2, 3}, {0, 1, 3}, {0, 1, 2}}
	wheel := ring(5)
	var rim []int
	for v := range wheel {
		wheel[v] = append(wheel[v], 5)
		rim = append(rim, v)
	}
	wheel = append(wheel, rim)
	for name, c := range map[string]struct {
		adj  [][]int
		want int
	}{"none": {nil, 0}, "one": {make([][]int, 1), 1}, "pair": {[][]int{{1}, {0}}, 2}, "odd ring": {ring(7), 3}, "four": {four, 4}, "wheel": {wheel, 4}, "queens": {queens(6), 6}} {
		if got := leastColours(c.adj); got.n != c.want || (got.why == "") != (c.want < 2) {
			t.Errorf("%s: %+v, want %d", name, got, c.want)
		}
	}
}

// A colouring full of clashes is mended down to the known number.
func TestMending(t *testing.T) {
	for name, c := range map[string]struct {
		adj  [][]int
		want int
	}{
		"odd ring": {ring(81), 3}, "petersen": {petersen(), 3}, "myciel3": {mycielski(ring(5)), 4},
		"myciel4": {mycielski(mycielski(ring(5))), 5}, "queen5_5": {queens(5), 5}, "queen6_6": {queens(6), 7},
	} {
		of := make([]int, len(c.adj))
		for v := range of {
			of[v] = min(v, 1) - 1 // one without a colour, the others all alike
		}
		work := colourWork
		of, ok := free(c.adj, c.want).mend(of, &work)
		if !ok {
			t.Fatalf("%s: not mended with %d colours", name, c.want)
		}
		checkColours(t, name, c.adj, of, c.want)
		work = 200_000
		if _, ok := free(c.adj, c.want-1).mend(make([]int, len(c.adj)), &work); ok {
			t.Errorf("%s: mended with fewer colours than there can be", name)
		}
	}
}

// A search that runs out of work says so, and one that tried every way too.
func TestHowSearchesEnd(t *testing.T) {
	hard := mycielski(mycielski(ring(5)))
	for _, c := range []struct {
		count, work int
		want        outcome
	}{{4, 50, stopped}, {4, colourWork, none}, {5, colourWork, found}} {
		if _, got := free(hard, c.count).solve(&c.work); got != c.want {
			t.Errorf("%d colours: ended as %d, want %d", c.count, got, c.want)
		}
	}
}

// Lists of colours are kept, and what the search says of them is what trying all
// ways says.
func TestListsAgainstTrial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, count := rapid.IntRange(1, 8).Draw(t, "n"), rapid.IntRange(1, 4).Draw(t, "count")
		l := free(make([][]int, n), count)
		for a := range n {
			for b := range a {
				if rapid.Bool().Draw(t, "edge") {
					l.adj[a], l.adj[b] = append(l.adj[a], b), append(l.adj[b], a)
				}
			}
		}
		for v := range l.adj {
			slices.Sort(l.adj[v])
			l.may[v] = uint64(rapid.IntRange(1, 1<<count-1).Draw(t, "may"))
		}
		for c := range count {
			l.alike[c] = c // the lists differ, so none is as good as another
		}
		of := make([]int, n)
		var try func(v int) bool
		try = func(v int) bool {
			if v == n {
				return true
			}
			for c := range count {
				of[v] = c
				clash := slices.ContainsFunc(l.adj[v], func(u int) bool { return u < v && of[u] == c })
				if l.may[v]>>c&1 == 1 && !clash && try(v+1) {
					return true
				}
			}
			return false
		}
		want := none
		if try(0) {
			want = found
		}
		work := colourWork
		got, how := l.solve(&work)
		if how != want {
			t.Fatalf("ended as %d, want %d", how, want)
		}
		if how == found {
			checkColours(t, "lists", l.adj, got, count)
			for v, c := range got {
				if l.may[v]>>c&1 == 0 {
					t.Fatalf("vertex %d may not take %d", v, c)
				}
			}
		}
	})
}

// The largest clique is the largest of all sets that are cliques.
func TestCliqueAgainstTrial(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 300 {
		n := 1 + rng.IntN(11)
		adj := make([][]int, n)
		share := rng.Float64()
		for a := range n {
			for b := range a {
				if rng.Float64() < share {
					adj[a], adj[b] = append(adj[a], b), append(adj[b], a)
				}
			}
		}
		for v := range adj {
			slices.Sort(adj[v])
		}
		want := 0
		for set := range 1 << n {
			ok := true
			for a := range n {
				for b := range a {
					ok = ok && ((set>>a)&(set>>b)&1 == 0 || slices.Contains(adj[a], b))
				}
			}
			if ok {
				want = max(want, bits.OnesCount(uint(set)))
			}
		}
		got := clique(adj)
		for i, a := range got {
			for _, b := range got[:i] {
				if !slices.Contains(adj[a], b) {
					t.Fatalf("%v is no clique of %v", got, adj)
				}
			}
		}
		if len(got) != want {
			t.Fatalf("a clique of %d, want %d", len(got), want)
		}
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
		of, count, least := colour(adj)
		checkColours(t, "random", adj, of, count)
		if least.n > count {
			t.Errorf("bound %+v above %d", least, count)
		}
	}
}
