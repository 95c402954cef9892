package proof

import (
	"math"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
)

// badge is a disc of the radius (mm): two rings of large stones around a
// honeycomb of small ones, a made-up design.
func badge(radius float64, rim, bed design.Kind) design.Document {
	doc := design.Document{
		Version: design.Version, Unit: "mm", Design: "Disc",
		Width: 2 * radius, Height: 2 * radius, Kinds: []design.Kind{rim, bed},
	}
	add := func(k design.Kind, x, y float64) {
		doc.Stones = append(doc.Stones, design.Stone{X: radius + x, Y: radius + y, Size: k.Size, Colour: k.Colour, Plate: 1})
	}
	for ring := range 2 {
		pitch := rim.Diameter + 0.9
		r := radius - rim.Diameter/2 - float64(ring)*pitch
		n := int(2 * math.Pi * r / pitch)
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			add(rim, r*math.Cos(a), r*math.Sin(a))
		}
	}
	inner, pitch := radius-2*(rim.Diameter+0.9)-bed.Diameter/2, bed.Diameter+0.8
	for row := -200; row <= 200; row++ {
		for col := -200; col <= 200; col++ {
			x := (float64(col) + 0.5*float64(row&1)) * pitch
			y := float64(row) * pitch * math.Sqrt(3) / 2
			if math.Hypot(x, y) <= inner {
				add(bed, x, y)
			}
		}
	}
	return doc
}

func kind(size, colour string) design.Kind {
	s, err := catalogue.FindSize(size)
	if err != nil {
		panic(err)
	}
	return design.Kind{Size: s.Name, Colour: colour, Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height}
}
