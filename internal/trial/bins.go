package trial

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"brushfall/internal/sheet"
)

// Bins is one published set of rectangles to be set on as few equal sheets as can
// be, with the fewest known when they may be turned by a quarter (0: none known).
type Bins struct {
	Class string // the file that it is from
	Name  string
	W, H  int
	Items [][2]int
	Best  int
}

// ReadBins reads a file in the form of the two-dimensional bin packing sets of
// Berkey and Wang (1987) and of Martello and Vigo (1998): for each set four lines
// with the class, the number of rectangles, the number of the set, and height and
// width of the sheet, then height and width of each rectangle; words after the
// numbers are remarks. name is the file's.
func ReadBins(r io.Reader, name string) ([]Bins, error) {
	lines := bufio.NewScanner(r)
	var rows [][]int
	for lines.Scan() {
		var row []int
		for _, f := range strings.Fields(lines.Text()) {
			v, err := strconv.Atoi(f)
			if err != nil {
				break
			}
			row = append(row, v)
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, err
	}
	var out []Bins
	for len(rows) > 0 {
		if len(rows) < 4 || len(rows[2]) == 0 || len(rows[3]) < 2 || rows[1][0] < 1 || len(rows) < 4+rows[1][0] {
			return nil, fmt.Errorf("%s: set %d ends early", name, len(out)+1)
		}
		n := rows[1][0]
		b := Bins{Class: name, Name: fmt.Sprintf("%s_%d_%d", name, n, rows[2][0]), H: rows[3][0], W: rows[3][1]}
		for _, row := range rows[4 : 4+n] {
			if len(row) < 2 || row[0] < 1 || row[1] < 1 {
				return nil, fmt.Errorf("%s: a rectangle of set %d has no two sides", name, len(out)+1)
			}
			b.Items = append(b.Items, [2]int{row[1], row[0]})
		}
		out = append(out, b)
		rows = rows[4+n:]
	}
	return out, nil
}

// ReadBest fills in the best known numbers from a table of paths and values.
func ReadBest(r io.Reader, sets []Bins) error {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return err
	}
	best := map[string]int{}
	for _, row := range rows {
		if n, err := strconv.Atoi(row[1]); err == nil {
			best[path.Base(row[0])] = n
		}
	}
	for i := range sets {
		sets[i].Best = best[sets[i].Name]
	}
	return nil
}

// Sheets says how many sheets a set took.
type Sheets struct {
	Bins
	Ours, Shelf, Bound int
	Seconds            float64
}

// NestBins sets one set on sheets, and by the plain way that is its baseline.
func NestBins(b Bins, seconds func() float64) (Sheets, error) {
	opt := sheet.Options{Width: float64(b.W), Height: float64(b.H), Turn: true, Touch: true}
	var items []sheet.Item
	for i, it := range b.Items {
		items = append(items, sheet.Item{Design: b.Name, Plate: i + 1, W: float64(it[0]), H: float64(it[1])})
	}
	start := seconds()
	got, err := sheet.Nest(items, opt)
	return Sheets{b, len(got), shelf(b), sheet.LowerBound(items, opt), seconds() - start}, err
}

// shelf counts the sheets of the plain way: the rectangles lie on their longer
// sides and are taken by falling height; each goes onto the first shelf that has
// room, a new shelf onto the first sheet (finite first fit: Berkey and Wang, 1987).
func shelf(b Bins) int {
	type row struct{ sheet, left, height int }
	items := make([][2]int, len(b.Items))
	for i, it := range b.Items {
		w, h := max(it[0], it[1]), min(it[0], it[1])
		if w > b.W || h > b.H {
			w, h = h, w
		}
		items[i] = [2]int{w, h}
	}
	slices.SortStableFunc(items, func(p, q [2]int) int { return cmp.Or(cmp.Compare(q[1], p[1]), cmp.Compare(q[0], p[0])) })
	var rows []row
	var used []int // height taken on each sheet
	for _, it := range items {
		at := slices.IndexFunc(rows, func(r row) bool { return it[0] <= r.left && it[1] <= r.height })
		if at < 0 {
			on := slices.IndexFunc(used, func(u int) bool { return u+it[1] <= b.H })
			if on < 0 {
				on, used = len(used), append(used, 0)
			}
			used[on] += it[1]
			at, rows = len(rows), append(rows, row{on, b.W, it[1]})
		}
		rows[at].left -= it[0]
	}
	return len(used)
}

// PrintSheets prints the table, a row a class and one for all.
func PrintSheets(w io.Writer, all []Sheets) error {
	var classes []string
	for _, s := range all {
		if !slices.Contains(classes, s.Class) {
			classes = append(classes, s.Class)
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "rectangles on sheets, turning allowed\tsets\tbest known\tours\tover best\tplain shelves\tover best\tbound\tslowest set, s\t")
	rows := append(classes, "")
	for _, c := range rows {
		var n, best, ours, plain, bound int
		slowest := 0.0
		for _, s := range all {
			if c == "" || s.Class == c {
				n, best, ours, plain, bound = n+1, best+s.Best, ours+s.Ours, plain+s.Shelf, bound+s.Bound
				slowest = max(slowest, s.Seconds)
			}
		}
		fmt.Fprintf(t, "%s\t%d\t%d\t%d\t%s\t%d\t%s\t%d\t%.2f\t\n", cmp.Or(c, "all"), n, best, ours, over(ours, best), plain, over(plain, best), bound, slowest)
	}
	return t.Flush()
}

// over prints by how much a number is above the best known, in per cent.
func over(n, best int) string {
	if best == 0 {
		return "–"
	}
	return fmt.Sprintf("%+.2f %%", 100*(float64(n)/float64(best)-1))
}
