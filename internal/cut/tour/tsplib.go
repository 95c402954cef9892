package tour

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"brushfall/internal/fault"
	"brushfall/internal/geom"
)

// mostPoints bounds what is read.
const mostPoints = 1_000_000

// ReadTSPLIB reads the points of a tour in the format of TSPLIB (Reinelt 1991),
// of the kind EUC_2D only. The fault "tsplib" names the line.
func ReadTSPLIB(r io.Reader) ([]geom.Point, error) {
	var points []geom.Point
	inside := false
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		key, value, _ := strings.Cut(line, ":")
		switch key = strings.TrimSpace(key); {
		case line == "EOF":
			return points, nil
		case key == "EDGE_WEIGHT_TYPE" && strings.TrimSpace(value) != "EUC_2D":
			return nil, fault.New("tsplib", fmt.Sprintf("line %d", n), "distances of the kind %q are not read, only EUC_2D", strings.TrimSpace(value))
		case key == "NODE_COORD_SECTION":
			inside = true
		case inside && line != "":
			p, err := coordinates(line)
			if err != nil || len(points) == mostPoints {
				return nil, fault.New("tsplib", fmt.Sprintf("line %d", n), "%q is not a number and two coordinates, or there are more than %d of them", line, mostPoints)
			}
			points = append(points, p)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, fault.Wrap("tsplib", err)
	}
	return points, nil
}

func coordinates(line string) (geom.Point, error) {
	fields := strings.Fields(line)
	if len(fields) != 3 {
		return geom.Point{}, strconv.ErrSyntax
	}
	x, errX := strconv.ParseFloat(fields[1], 64)
	y, errY := strconv.ParseFloat(fields[2], 64)
	if errX != nil || errY != nil || math.IsInf(x+y, 0) || math.IsNaN(x+y) {
		return geom.Point{}, strconv.ErrRange
	}
	return geom.Point{X: x, Y: y}, nil
}

// WholeLength gives the length of a closed tour as TSPLIB counts it for EUC_2D:
// each distance rounded to the nearest whole number.
func WholeLength(points []geom.Point, order []int) int {
	sum := 0
	for k, i := range order {
		sum += int(points[i].Dist(points[order[(k+1)%len(order)]]) + 0.5)
	}
	return sum
}
