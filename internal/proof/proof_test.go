package proof

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/catalogue"
	"brushfall/internal/design"
	"brushfall/internal/fault"
	"brushfall/internal/outside"
)

// On black cloth no shadow shows, so that what is not black is stone. librsvg
// draws the same discs; the two must agree on every pixel that its disc covers
// by more than a half, but for rounding along the edges.
func TestStonesLieWhereTheDesignPutsThem(t *testing.T) {
	doc := badge(18, kind("SS16", "citrine"), kind("SS6", "crystal"))
	for _, scale := range []float64{5, 9.7, 24} {
		img, err := Draw(doc, Options{Garment: "#000000", PixelsPerMM: scale, Plain: true})
		if err != nil {
			t.Fatal(err)
		}
		want := rsvgDiscs(t, doc, img.Bounds(), scale)
		wrong, covered := 0, 0
		for y := range img.Bounds().Dy() {
			for x := range img.Bounds().Dx() {
				got := img.RGBAAt(x, y)
				lit := max(got.R, got.G, got.B) > 0
				disc, _, _, _ := want.At(x, y).RGBA()
				if disc > 0xf000 {
					covered++
				}
				if disc > 0xf000 && !lit || disc == 0 && lit && !nearDisc(want, x, y) {
					wrong++
				}
			}
		}
		if covered == 0 || wrong != 0 {
			t.Errorf("%.1f px/mm: %d of %d pixels of stones are not where librsvg has them", scale, wrong, covered)
		}
	}
}

// nearDisc says whether a neighbour is part of a disc: a pixel is moved by up to
// an eighth when it is set to whole samples.
func nearDisc(img image.Image, x, y int) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if r, _, _, _ := img.At(x+dx, y+dy).RGBA(); r > 0 {
				return true
			}
		}
	}
	return false
}

func rsvgDiscs(t *testing.T, doc design.Document, size image.Rectangle, scale float64) image.Image {
	t.Helper()
	var svg strings.Builder
	fmt.Fprintf(&svg, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d"><rect width="100%%" height="100%%"/>`, size.Dx(), size.Dy())
	for _, s := range doc.Stones {
		r := kind(s.Size, s.Colour).Diameter / 2
		fmt.Fprintf(&svg, `<circle cx="%.5f" cy="%.5f" r="%.5f" fill="white"/>`, (s.X+DefaultMargin)*scale, (s.Y+DefaultMargin)*scale, r*scale)
	}
	svg.WriteString("</svg>")
	cmd := exec.Command(outside.Need(t, "rsvg-convert"))
	cmd.Stdin = strings.NewReader(svg.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// A stone's mean colour must be told as the colour the catalogue gives it: of
// hue within 15° where the colour is a strong one, and grey where it is grey.
func TestStonesKeepTheirHue(t *testing.T) {
	for _, c := range catalogue.Colours() {
		mean := meanStone(t, c.Name)
		want, _ := colorful.Hex(c.Hex)
		hue, chroma, _ := want.Hcl()
		gotHue, gotChroma, _ := mean.Hcl()
		switch {
		case chroma > 0.25:
			if off := math.Abs(math.Mod(gotHue-hue+540, 360) - 180); off > 15 {
				t.Errorf("%s: hue is off by %.0f°", c.Name, off)
			}
		case c.Finish != catalogue.AB && chroma < 0.05 && gotChroma > 0.08:
			t.Errorf("%s: grey stone shows chroma %.2f", c.Name, gotChroma)
		}
	}
}

func meanStone(t *testing.T, colour string) colorful.Color {
	t.Helper()
	k := kind("SS20", colour)
	doc := design.Document{Kinds: []design.Kind{k}, Stones: []design.Stone{{X: 5, Y: 5, Size: k.Size, Colour: colour}}}
	img, err := Draw(doc, Options{Garment: "black", Plain: true})
	if err != nil {
		t.Fatal(err)
	}
	var r, g, b, n float64
	mid, reach := img.Bounds().Dx()/2, int(0.8*k.Diameter/2*DefaultPixelsPerMM)
	for y := mid - reach; y < mid+reach; y++ {
		for x := mid - reach; x < mid+reach; x++ {
			if math.Hypot(float64(x-mid), float64(y-mid)) < float64(reach) {
				c, _ := colorful.MakeColor(img.RGBAAt(x, y))
				lr, lg, lb := c.LinearRgb()
				r, g, b, n = r+lr, g+lg, b+lb, n+1
			}
		}
	}
	return colorful.LinearRgb(r/n, g/n, b/n)
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	doc := badge(20, kind("SS10", "light sapphire"), kind("SS6", "crystal ab"))
	render := func() []byte {
		var b bytes.Buffer
		if err := Render(&b, doc, Options{}); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	first := render()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !bytes.Equal(first, render()) {
		t.Error("two runs differ")
	}
	if _, err := png.Decode(bytes.NewReader(first)); err != nil {
		t.Error(err)
	}
}

func TestPictureStaysWithinItsPixels(t *testing.T) {
	doc := badge(150, kind("SS10", "siam"), kind("SS16", "crystal"))
	img, err := Draw(doc, Options{PixelsPerMM: 50, MaxPixels: 250_000})
	if err != nil {
		t.Fatal(err)
	}
	if n := img.Bounds().Dx() * img.Bounds().Dy(); n > 250_000 || n < 240_000 {
		t.Errorf("%d pixels, want close below 250000", n)
	}
	if ratio := float64(img.Bounds().Dx()) / float64(img.Bounds().Dy()); math.Abs(ratio-1) > 0.01 {
		t.Errorf("a round design is shown %.3f times as wide as high", ratio)
	}
}

func TestBareClothForADesignWithoutStones(t *testing.T) {
	img, err := Draw(design.Document{Width: 40, Height: 20}, Options{Garment: "white", Plain: true, PixelsPerMM: 2})
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Bounds().Size(); got != image.Pt(120, 80) {
		t.Errorf("size %v, want 120 × 80", got)
	}
	if c := img.RGBAAt(5, 5); c != (color.RGBA{0xf4, 0xf4, 0xf1, 255}) {
		t.Errorf("cloth is %v", c)
	}
}

func TestFaults(t *testing.T) {
	ok := kind("SS6", "crystal")
	stone := func(x float64, size string) []design.Stone {
		return []design.Stone{{X: x, Size: size, Colour: "crystal"}}
	}
	odd := ok
	odd.Colour = "moonless"
	flat := ok
	flat.Diameter = math.NaN()
	cases := []struct {
		code string
		doc  design.Document
		opt  Options
	}{
		{"proof-garment-unknown", design.Document{}, Options{Garment: "plaid"}},
		{"proof-garment-unknown", design.Document{}, Options{Garment: "#12345"}},
		{"colour-unknown", design.Document{Kinds: []design.Kind{odd}}, Options{}},
		{"proof-kind-missing", design.Document{Kinds: []design.Kind{flat}}, Options{}},
		{"proof-kind-missing", design.Document{Kinds: []design.Kind{ok}, Stones: stone(1, "SS10")}, Options{}},
		{"proof-place", design.Document{Kinds: []design.Kind{ok}, Stones: stone(math.NaN(), "SS6")}, Options{}},
		{"proof-place", design.Document{Kinds: []design.Kind{ok}, Stones: stone(math.Inf(1), "SS6")}, Options{}},
		{"proof-too-large", design.Document{Kinds: []design.Kind{ok}, Stones: append(stone(0, "SS6"), stone(1e9, "SS6")...)}, Options{}},
		{"proof-too-large", design.Document{Width: math.NaN(), Height: 1e300}, Options{}},
	}
	for _, c := range cases {
		var b bytes.Buffer
		err := Render(&b, c.doc, c.opt)
		if fault.CodeOf(err) != c.code || b.Len() != 0 {
			t.Errorf("want %s, got %v and %d bytes", c.code, err, b.Len())
		}
	}
}

func TestEveryGarmentIsFound(t *testing.T) {
	for _, g := range Garments() {
		c, err := FindGarment(" " + strings.ToUpper(g.Name))
		if err != nil || fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) != g.Hex {
			t.Errorf("%s: %v, %v", g.Name, c, err)
		}
	}
}

func FuzzFindGarment(f *testing.F) {
	for _, s := range []string{"navy", "#161f38", "#zzzzzz", "", "#123"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		c, err := FindGarment(name)
		if err == nil && c.A != 255 || err != nil && fault.CodeOf(err) != "proof-garment-unknown" {
			t.Errorf("%q: %v %v", name, c, err)
		}
	})
}
