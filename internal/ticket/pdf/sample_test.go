package pdf

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"sync"
	"testing"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/proof"
	"brushfall/internal/ticket"
	"brushfall/internal/wording"
)

// sample is a made-up disc of the radius (mm), one ring after the other in the
// kinds given, each kind on the plate beside it.
func sample(t testing.TB, name string, radius float64, kinds [][2]string, plateOf []int) ticket.Input {
	t.Helper()
	doc := design.Document{Version: design.Version, Unit: "mm", Design: name, Width: 2 * radius, Height: 2 * radius, Web: catalogue.Web, Border: catalogue.Border}
	counts := make([]ticket.Count, len(kinds))
	plates := 0
	for i, k := range kinds {
		s, err := catalogue.FindSize(k[0])
		if err != nil {
			t.Fatal(err)
		}
		doc.Kinds = append(doc.Kinds, design.Kind{Size: s.Name, Colour: k[1], Diameter: s.Largest, Smallest: s.Smallest, Hole: s.Hole, Height: s.Height})
		counts[i] = ticket.Count{Size: s.Name, Colour: k[1]}
		plates = max(plates, plateOf[i])
	}
	r := radius
	for ring := 0; r > 3; ring++ {
		i := ring / 3 % len(kinds)
		k := doc.Kinds[i]
		pitch := k.Diameter + 0.9
		r -= pitch
		n := max(1, int(2*math.Pi*r/pitch))
		for j := range n {
			a := 2 * math.Pi * float64(j) / float64(n)
			doc.Stones = append(doc.Stones, design.Stone{X: radius + r*math.Cos(a), Y: radius + r*math.Sin(a), Size: k.Size, Colour: k.Colour, Role: design.RoleRim, Plate: plateOf[i]})
			counts[i].Pieces++
		}
	}
	for n := 1; n <= plates; n++ {
		doc.Plates = append(doc.Plates, samplePlate(doc, n))
		doc.Sheets = append(doc.Sheets, design.Sheet{Number: n, Width: catalogue.FlockWidth, Height: catalogue.FlockHeight, Placed: []design.Placed{{Design: name, Plate: n, X: 5, Y: 5}}})
	}
	for i := range counts {
		c := &counts[i]
		c.Take = int(math.Ceil(float64(c.Pieces) * 1.02))
		c.Gross, c.Packs = (c.Take+143)/144, (c.Take+1439)/1440
		s, _ := catalogue.FindSize(c.Size)
		c.Grams = float64(c.Take) * s.Mass
	}
	return ticket.Input{Document: doc, Counts: counts, Tape: ticket.Tape{Width: 2*radius + 12, Height: 2*radius + 52, PerSheet: 1, Sheets: 1}, Press: ticket.Cotton}
}

func samplePlate(doc design.Document, n int) design.Plate {
	p := design.Plate{Number: n, Frame: [4]float64{-6, -6, doc.Width + 6, doc.Height + 6}, Notch: [2]float64{doc.Width / 2, -3}}
	for i := range n {
		x := doc.Width/2 + 6 + 3*float64(i)
		p.Nicks = append(p.Nicks, [4]float64{x, -4.5, x, -1.5})
	}
	for _, s := range doc.Stones {
		if s.Plate == n {
			for _, k := range doc.Kinds {
				if k.Size == s.Size && k.Colour == s.Colour {
					p.Holes = append(p.Holes, design.Hole{X: s.X, Y: s.Y, D: k.Hole})
				}
			}
		}
	}
	return p
}

func badgeInput(t testing.TB) ticket.Input {
	return sample(t, "Heron badge", 114, [][2]string{{"SS10", "light sapphire"}, {"SS6", "crystal ab"}, {"SS10", "crystal ab"}, {"SS6", "light sapphire"}}, []int{1, 2, 2, 1})
}

// timedInput is the badge with all that a job's ticket says of it: its picture's scale,
// where holes come from, why there are two plates, and how long the works take.
func timedInput(t testing.TB, l wording.Language) ticket.Input {
	in := badgeInput(t)
	v := wording.In(l)
	in.Language, in.Across = l, in.Document.Width+12
	in.Document.Least = &design.Least{Plates: 2, Why: "a plate holds one colour of a size: SS6 comes in two colours"}
	fit := v.Say("catalogue's fit")
	in.Fits = map[string]string{"SS10": fit, "SS6": fit}
	memory := v.Say("from memory")
	from := v.Say("brushing") + ": " + v.Say("common practice") + "; " + v.Say("the rest: %s", memory)
	in.More = []ticket.Fact{
		{Label: v.Say("Cutting, estimated"), Value: v.Say("about %s", "12 min")},
		{Label: v.Say("Weeding, once (%s)", memory), Value: v.Say("about %s", "4 min 30 s")},
		{Label: v.Say("A transfer (%s)", from), Value: v.Say("brushing %s, mending %s, lifting %s, pressing %s", "30 s", "2 min 20 s", "40 s", "1 min")},
	}
	return in
}

// crowdedInput has twelve kinds on six plates, and names as long as they come.
func crowdedInput(t testing.TB) ticket.Input {
	var kinds [][2]string
	var plateOf []int
	for i, c := range []string{"light colorado topaz", "crystal ab", "light sapphire", "blue zircon", "smoked topaz", "black diamond"} {
		kinds = append(kinds, [2]string{"SS6", c}, [2]string{"SS16", c})
		plateOf = append(plateOf, i+1, i+1)
	}
	return sample(t, crowdedName, 130, kinds, plateOf)
}

func printed(t testing.TB, in ticket.Input, opt Options) []byte {
	t.Helper()
	tk, err := ticket.Build(in)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	picture := pictureOf(t, in.Document, proof.Options{PixelsPerMM: 2})
	if err := Write(&out, tk, picture, opt); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// manyKindsInput has ten kinds on one plate: a card as high as they come.
func manyKindsInput(t testing.TB) ticket.Input {
	var kinds [][2]string
	var plateOf []int
	for _, size := range []string{"SS40", "SS34", "SS30", "SS20", "SS16", "SS12", "SS10", "SS8", "SS6", "SS4"} {
		kinds = append(kinds, [2]string{size, "light colorado topaz"})
		plateOf = append(plateOf, 1)
	}
	return sample(t, "All sizes", 140, kinds, plateOf)
}

// pictures keeps what was drawn: many papers show the same designs.
var pictures sync.Map

func pictureOf(t testing.TB, doc design.Document, opt proof.Options) *image.RGBA {
	t.Helper()
	key := fmt.Sprint(doc.Design, len(doc.Stones), opt.PixelsPerMM, opt.Garment)
	if img, ok := pictures.Load(key); ok {
		return img.(*image.RGBA)
	}
	img, err := proof.Draw(doc, opt)
	if err != nil {
		t.Fatal(err)
	}
	pictures.Store(key, img)
	return img
}

const crowdedName = "Saltmarsh Herons Regatta Weekend Łódź 2026 Supporters’ Jacket Back, Second Edit"
