package geom

import (
	"math"
	"testing"
)

func TestStrokeByHand(t *testing.T) {
	corner := []Line{{{0, 0}, {10, 0}, {10, 10}}}
	for _, c := range []struct {
		name   string
		lines  []Line
		closed []bool
		style  StrokeStyle
		area   float64
	}{
		{"mitre", corner, nil, StrokeStyle{Width: 2}, 40},
		{"bevel", corner, nil, StrokeStyle{Width: 2, Join: BevelJoin}, 39.5},
		{"round", corner, nil, StrokeStyle{Width: 2, Join: RoundJoin}, 39 + math.Pi/4},
		{"square caps", corner, nil, StrokeStyle{Width: 2, Cap: SquareCap}, 44},
		{"round caps", corner, nil, StrokeStyle{Width: 2, Cap: RoundCap}, 40 + math.Pi},
		{"a square", []Line{Line(square(0, 0, 10))}, []bool{true}, StrokeStyle{Width: 2}, 144 - 64},
		{"dashes", []Line{{{0, 0}, {10, 0}}}, nil, StrokeStyle{Width: 1, Dash: []float64{2, 1}}, 7},
		{"a round dot", []Line{{{1, 1}}}, nil, StrokeStyle{Width: 2, Cap: RoundCap}, math.Pi},
		{"a square dot", []Line{{{1, 1}, {1, 1}}}, nil, StrokeStyle{Width: 2, Cap: SquareCap}, 4},
		{"no dot", []Line{{{1, 1}, {1, 1}}}, nil, StrokeStyle{Width: 2}, 0},
		{"nothing", nil, nil, StrokeStyle{Width: 2}, 0},
		{"no points", []Line{{}}, []bool{true}, StrokeStyle{Width: 2, Dash: []float64{1}}, 0},
		{"no width", corner, nil, StrokeStyle{}, 0},
		{"width not a number", corner, nil, StrokeStyle{Width: math.NaN()}, 0},
		{"width infinite", corner, nil, StrokeStyle{Width: math.Inf(1)}, 0},
		{"a bad line beside a good one", []Line{{{math.NaN(), 0}, {1, 1}}, {{0, 0}, {10, 0}}}, nil, StrokeStyle{Width: 1}, 10},
		{"dashes not numbers", []Line{{{0, 0}, {10, 0}}}, nil, StrokeStyle{Width: 1, Dash: []float64{math.NaN()}}, 10},
		{"dashes too fine to tell", []Line{{{0, 0}, {10, 0}}}, nil, StrokeStyle{Width: 1, Dash: []float64{1e-9}}, 10},
		{"dashes that start far off", []Line{{{0, 0}, {10, 0}}}, nil, StrokeStyle{Width: 1, Dash: []float64{2, 1}, DashOffset: 3e6}, 7},
	} {
		if got := Stroke(c.lines, c.closed, c.style, 0.0005).Area(); math.Abs(got-c.area) > 0.001*c.area {
			t.Errorf("%s: %v, want %v", c.name, got, c.area)
		}
	}
}
