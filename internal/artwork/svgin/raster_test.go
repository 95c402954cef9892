package svgin

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/geom"
	"brushfall/internal/outside"
)

// fine is the number of samples along each side of a pixel.
const fine = 4

// samples is a picture of a drawing with one colour a sample, on white.
type samples struct {
	w, h int // in pixels
	at   []color.RGBA
}

var white = color.RGBA{255, 255, 255, 255}

// picture draws the regions in order, each by the even-odd rule, onto w × h pixels
// that span the page.
func picture(t testing.TB, d artwork.Drawing, w, h int) *samples {
	t.Helper()
	s := &samples{w, h, make([]color.RGBA, w*h*fine*fine)}
	for i := range s.at {
		s.at[i] = white
	}
	m := geom.Scale(float64(w*fine)/d.Width, float64(h*fine)/d.Height)
	for _, r := range d.Regions {
		s.fill(r.Shape.Transform(m), hexOf(t, r.Paint))
	}
	return s
}

func hexOf(t testing.TB, paint string) color.RGBA {
	t.Helper()
	v, err := strconv.ParseUint(paint[1:], 16, 32)
	if err != nil || len(paint) != 7 {
		t.Fatalf("paint %q is not #rrggbb", paint)
	}
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// fill sets the samples whose centres lie in the shape.
func (s *samples) fill(shape geom.Shape, c color.RGBA) {
	rows := make([][]float64, s.h*fine)
	for _, ring := range shape.Rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			if p.Y > q.Y {
				p, q = q, p
			}
			for y := max(0, int(math.Ceil(p.Y-0.5))); y < len(rows) && float64(y)+0.5 < q.Y; y++ {
				rows[y] = append(rows[y], p.X+(float64(y)+0.5-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
		}
	}
	wide := s.w * fine
	for y, xs := range rows {
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			for x := max(0, int(math.Ceil(xs[i]-0.5))); x < wide && float64(x)+0.5 < xs[i+1]; x++ {
				s.at[y*wide+x] = c
			}
		}
	}
}

// pixel gives the mean colour of a pixel.
func (s *samples) pixel(x, y int) [3]float64 {
	var sum [3]float64
	for j := range fine {
		for i := range fine {
			c := s.at[(y*fine+j)*s.w*fine+x*fine+i]
			sum[0], sum[1], sum[2] = sum[0]+float64(c.R), sum[1]+float64(c.G), sum[2]+float64(c.B)
		}
	}
	for k := range sum {
		sum[k] /= fine * fine
	}
	return sum
}

// rsvg renders a file on white, 400 pixels wide, with rsvg-convert (librsvg).
func rsvg(t testing.TB, path string) *image.RGBA {
	t.Helper()
	out, err := exec.Command(outside.Need(t, "rsvg-convert"), "-w", "400", "-a", "--background-color", "white", path).Output()
	if err != nil {
		t.Fatalf("%s: rsvg-convert: %v", path, err)
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	flat := image.NewRGBA(img.Bounds())
	draw.Draw(flat, flat.Rect, img, image.Point{}, draw.Src)
	return flat
}

func rgbAt(img *image.RGBA, x, y int) [3]float64 {
	c := img.Pix[img.PixOffset(x, y):]
	return [3]float64{float64(c[0]), float64(c[1]), float64(c[2])}
}

// differing gives the share of pixels in which a channel differs by more than half.
func differing(s *samples, img *image.RGBA) float64 {
	n := 0
	for y := range s.h {
		for x := range s.w {
			ours, theirs := s.pixel(x, y), rgbAt(img, x, y)
			for k := range ours {
				if math.Abs(ours[k]-theirs[k]) > 127.5 {
					n++
					break
				}
			}
		}
	}
	return float64(n) / float64(s.w*s.h)
}

func readFile(t testing.TB, path string) artwork.Drawing {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d, err := Read(f, Options{})
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return d
}

// agreement reads a file, takes the covered parts away and compares it with
// rsvg-convert's picture.
func agreement(t testing.TB, path string) float64 {
	t.Helper()
	d := artwork.Visible(readFile(t, path))
	img := rsvg(t, path)
	size := img.Bounds().Size()
	return differing(picture(t, d, size.X, size.Y), img)
}

// lookup says which regions hold the centre of a pixel.
type lookup struct {
	d      artwork.Drawing
	within []*geom.Boundary
	k      geom.Point // mm per pixel
}

func newLookup(d artwork.Drawing, w, h int) lookup {
	l := lookup{d: d, k: geom.Point{X: d.Width / float64(w), Y: d.Height / float64(h)}}
	for _, r := range d.Regions {
		l.within = append(l.within, geom.NewBoundary(r.Shape))
	}
	return l
}

// paints gives the paint of the region at a pixel's centre, those of all regions
// if there are several.
func (l lookup) paints(x, y int) string {
	p := geom.Point{X: (float64(x) + 0.5) * l.k.X, Y: (float64(y) + 0.5) * l.k.Y}
	found := ""
	for i, b := range l.within {
		if !l.d.Regions[i].Open() && b.Inside(p) {
			found += l.d.Regions[i].Paint
		}
	}
	return found
}
