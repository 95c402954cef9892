package trial

import (
	"bufio"
	"context"
	"io"
	"math"
	"strconv"
	"strings"

	"brushfall/internal/design"
	"brushfall/internal/geom"
	"brushfall/internal/layout"
)

// Disc is a published packing: N equal discs in a disc whose radius is Ratio
// times theirs.
type Disc struct {
	N     int
	Ratio float64
}

// ReadDiscs reads lines of N, …, ratio with a head that names the columns n and
// ratio; lines that begin with # are remarks. The faults have the code "trial-discs".
func ReadDiscs(r io.Reader, name string) ([]Disc, error) {
	var out []Disc
	col := map[string]int{}
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), ",")
		if len(col) == 0 {
			for i, c := range cells {
				col[strings.ToLower(c)] = i + 1
			}
			if col["n"] == 0 || col["ratio"] == 0 {
				return nil, broken(name, "the head has no columns n and ratio")
			}
			continue
		}
		if len(cells) < max(col["n"], col["ratio"]) {
			return nil, broken(name, "a line is too short: "+lines.Text())
		}
		n, err := strconv.Atoi(cells[col["n"]-1])
		if err != nil {
			return nil, broken(name, err)
		}
		ratio, err := strconv.ParseFloat(cells[col["ratio"]-1], 64)
		if err != nil {
			return nil, broken(name, err)
		}
		out = append(out, Disc{n, ratio})
	}
	return out, lines.Err()
}

// discEase is added to the radius of the published disc, in mm, for the places
// of stones are rounded and the circle is drawn by chords; a thousandth of a stone.
const discEase = 0.004

// Packed is how many stones were set where N are known to fit.
type Packed struct {
	N   int `json:"discs"`
	Set int `json:"stones"`
}

// PackDiscs lays SS10 stones, no rim asked, into the discs that are known to
// hold N: a stone and half its gap all round is a published disc.
func PackDiscs(ctx context.Context, discs []Disc, e layout.Effort, progress func()) ([]Packed, error) {
	const diameter, gap = 2.9, 0.9
	var out []Packed
	for _, d := range discs {
		radius := (d.Ratio-1)*(diameter+gap)/2 + diameter/2 + discEase
		c := Case{Shape: Shape{Name: "disc", Area: geom.Fill([]geom.Ring{circle(radius, radius, radius)}, geom.NonZero)}, Size: "SS10", Diameter: diameter, Gap: gap}
		res, _, err := Lay(ctx, c, Setting{Treatment: []design.Treatment{design.Bed}, Effort: e})
		if err != nil {
			return nil, err
		}
		out = append(out, Packed{d.N, len(res.Stones)})
		if progress != nil {
			progress()
		}
	}
	return out, nil
}

// exactDiscs are the numbers of discs that must all be set: a honeycomb or its
// like holds them.
func exactDiscs() []int { return []int{7, 19, 37} }

// MeanShare gives the mean of stones set ÷ stones known to fit.
func MeanShare(all []Packed) float64 {
	sum := 0.0
	for _, p := range all {
		sum += float64(p.Set) / float64(p.N)
	}
	return sum / math.Max(1, float64(len(all)))
}
