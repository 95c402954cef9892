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

func pathRings(t testing.TB, name, d string, scale float64) []Ring {
	const tol = 0.005
	r := pathReader{t: t, name: name, rest: d, scale: scale}
	var rings []Ring
	var ring []Point
	var at, handle Point
	var command, last byte
	for {
		r.skip()
		if r.rest == "" {
			return append(rings, ring)
		}
		if c := r.rest[0]; c > '9' {
			command, r.rest = c, r.rest[1:]
		}
		lower := command | 0x20
		from := Point{}
		if command == lower {
			from = at
		}
		mirrored := at
		if strings.IndexByte("cs", last) >= 0 && lower == 's' || strings.IndexByte("qt", last) >= 0 && lower == 't' {
			mirrored = at.Mul(2).Sub(handle)
		}
		last = lower
		switch lower {
		case 'm':
			if len(ring) > 0 {
				rings = append(rings, ring)
			}
			at = r.point(from)
			ring = []Point{at}
			command-- // more pairs are lines: M goes on as L, m as l
			continue
		case 'z':
			at = ring[0]
			continue
		case 'l':
			ring = append(ring, r.point(from))
		case 'h':
			ring = append(ring, Point{from.X + r.length(), at.Y})
		case 'v':
			ring = append(ring, Point{at.X, from.Y + r.length()})
		case 'c', 's':
			first := mirrored
			if lower == 'c' {
				first = r.point(from)
			}
			handle = r.point(from)
			ring = FlattenCubic(ring, at, first, handle, r.point(from), tol)
		case 'q', 't':
			handle = mirrored
			if lower == 'q' {
				handle = r.point(from)
			}
			ring = FlattenQuad(ring, at, handle, r.point(from), tol)
		case 'a':
			rx, ry, turn := r.length(), r.length(), r.number()*math.Pi/180
			large, sweep := r.flag(), r.flag()
			ring = EllipticalArc(ring, at, r.point(from), rx, ry, turn, large, sweep, tol)
		default:
			t.Fatalf("%s: command %c", name, command)
		}
		at = ring[len(ring)-1]
	}
}
