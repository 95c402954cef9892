package trial

import (
	"context"
	"math"

	"brushfall/internal/geom"
)

// Turned is how the number of stones of a case varies when its shape is turned
// and moved.
type Turned struct {
	Case          string  `json:"case"`
	Fewest        int     `json:"fewest"`
	Most          int     `json:"most"`
	FewestAtAngle float64 `json:"fewest_at_angle"` // degrees
}

// The turns that are tried: no two alike after 60°, where a honeycomb repeats.
const (
	turns    = 6
	turnStep = 17.0 // degrees
	turnMove = 1.37 // mm, no simple part of a pitch
)

// Turn lays every case, with an unbroken rim at effort live, turned and moved in
// six ways.
func Turn(ctx context.Context, cases []Case, progress func()) ([]Turned, error) {
	out := make([]Turned, len(cases))
	for i, c := range cases {
		out[i] = Turned{Case: c.Name(), Fewest: math.MaxInt}
		for k := range turns {
			m := geom.Translate(float64(k)*turnMove, 0).Mul(geom.Rotate(float64(k) * turnStep * math.Pi / 180))
			moved := c
			moved.Area = c.Area.Transform(m)
			res, _, err := Lay(ctx, moved, Settings()[FullLive])
			if err != nil {
				return nil, err
			}
			n := len(res.Stones)
			if out[i].Most = max(out[i].Most, n); n < out[i].Fewest {
				out[i].Fewest, out[i].FewestAtAngle = n, float64(k)*turnStep
			}
		}
		if progress != nil {
			progress()
		}
	}
	return out, nil
}
