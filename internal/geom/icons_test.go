package geom

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// iconWidth is the width in mm that icons are tried at.
const iconWidth = 60

// icon is a real outline: rings of each of its paths, and what the paths cover.
type icon struct {
	name  string
	paths [][]Ring
	rules []FillRule
	shape Shape
}

// icons reads testdata/icons: path data of three free icon sets, see LICENCES.txt there.
func icons(t testing.TB) []icon {
	t.Helper()
	data, err := os.ReadFile("testdata/icons/icons.json")
	if err != nil {
		t.Fatal(err)
	}
	var listed []struct {
		Name  string
		Box   float64
		Paths []struct {
			D       string
			EvenOdd bool
		}
	}
	if err := json.Unmarshal(data, &listed); err != nil {
		t.Fatal(err)
	}
	out := make([]icon, 0, len(listed))
	for _, l := range listed {
		c := icon{name: l.Name}
		var shapes []Shape
		for _, p := range l.Paths {
			rule := NonZero
			if p.EvenOdd {
				rule = EvenOdd
			}
			rings := pathRings(t, l.Name, p.D, iconWidth/l.Box)
			c.paths, c.rules = append(c.paths, rings), append(c.rules, rule)
			shapes = append(shapes, Fill(rings, rule))
		}
		c.shape = Union(shapes...)
		out = append(out, c)
	}
	return out
}

// pathReader reads the path data of SVG 1.1 §8.3, as far as the icons use it.
type pathReader struct {
	t     testing.TB
	name  string
	rest  string
	scale float64

	ring       []Point
	at, handle Point
	last       byte
}

func (r *pathReader) skip() { r.rest = strings.TrimLeft(r.rest, " ,\n\t\r") }

func (r *pathReader) number() float64 {
	r.skip()
	n, dot, exp := 0, false, false
	for n < len(r.rest) {
		switch c := r.rest[n]; {
		case c >= '0' && c <= '9':
		case (c == '-' || c == '+') && (n == 0 || r.rest[n-1] == 'e'):
		case c == '.' && !dot && !exp:
			dot = true
		case c == 'e' && !exp:
			exp = true
		default:
			goto end
		}
		n++
	}
end:
	v, err := strconv.ParseFloat(r.rest[:n], 64)
	if err != nil {
		r.t.Fatalf("%s: no number at %.20q", r.name, r.rest)
	}
	r.rest = r.rest[n:]
	return v
}

func (r *pathReader) flag() bool {
	r.skip()
	f := r.rest[0] == '1'
	r.rest = r.rest[1:]
	return f
}

func (r *pathReader) length() float64 { return r.number() * r.scale }

// point reads a pair of coordinates from an origin.
func (r *pathReader) point(from Point) Point {
	x := r.length()
	return Point{from.X + x, from.Y + r.length()}
}

// pathTol is the chord error that icons are flattened with, in mm.
const pathTol = 0.005

func pathRings(t testing.TB, name, d string, scale float64) []Ring {
	r := pathReader{t: t, name: name, rest: d, scale: scale}
	var rings []Ring
	var command byte
	for {
		r.skip()
		if r.rest == "" {
			return append(rings, r.ring)
		}
		if c := r.rest[0]; c > '9' {
			command, r.rest = c, r.rest[1:]
		}
		lower := command | 0x20
		from := Point{}
		if command == lower {
			from = r.at
		}
		switch lower {
		case 'm':
			if len(r.ring) > 0 {
				rings = append(rings, r.ring)
			}
			r.at = r.point(from)
			r.ring = []Point{r.at}
			command-- // more pairs are lines: M goes on as L, m as l
		case 'z':
			r.at = r.ring[0]
		default:
			r.draw(lower, from)
			r.at = r.ring[len(r.ring)-1]
		}
		r.last = lower
	}
}

// draw reads the numbers of one command and adds its points; from is the origin of
// its coordinates.
func (r *pathReader) draw(command byte, from Point) {
	mirrored := r.at
	if strings.IndexByte("cs", r.last) >= 0 && command == 's' || strings.IndexByte("qt", r.last) >= 0 && command == 't' {
		mirrored = r.at.Mul(2).Sub(r.handle)
	}
	switch command {
	case 'l':
		r.ring = append(r.ring, r.point(from))
	case 'h':
		r.ring = append(r.ring, Point{from.X + r.length(), r.at.Y})
	case 'v':
		r.ring = append(r.ring, Point{r.at.X, from.Y + r.length()})
	case 'c', 's':
		first := mirrored
		if command == 'c' {
			first = r.point(from)
		}
		r.handle = r.point(from)
		r.ring = FlattenCubic(r.ring, r.at, first, r.handle, r.point(from), pathTol)
	case 'q', 't':
		r.handle = mirrored
		if command == 'q' {
			r.handle = r.point(from)
		}
		r.ring = FlattenQuad(r.ring, r.at, r.handle, r.point(from), pathTol)
	case 'a':
		rx, ry, turn := r.length(), r.length(), r.number()*math.Pi/180
		large, sweep := r.flag(), r.flag()
		r.ring = EllipticalArc(r.ring, r.at, r.point(from), rx, ry, turn, large, sweep, pathTol)
	default:
		r.t.Fatalf("%s: command %c", r.name, command)
	}
}
