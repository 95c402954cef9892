package svg_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/cut/cuttest"
	"brushfall/internal/cut/svg"
	"brushfall/internal/design"
	"brushfall/internal/outside"
)

// readRaster draws the file with rsvg-convert and measures its rings. The ink of
// a ring of diameter D and line width w has its centroid in the centre and the
// mean squared distance D²/4 + w²/4 from it.
func readRaster(t *testing.T, text string, sheet design.Sheet, perMillimetre int) []cuttest.Hole {
	t.Helper()
	dpi := fmt.Sprint(25.4 * float64(perMillimetre))
	cmd := exec.Command(outside.Need(t, "rsvg-convert"), "--dpi-x", dpi, "--dpi-y", dpi, "--format", "png")
	cmd.Stdin = strings.NewReader(text)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatal(err)
	}
	width, height := picture.Bounds().Dx(), picture.Bounds().Dy()
	scale := float64(perMillimetre)
	if math.Abs(float64(width)-sheet.Width*scale) > 1 || math.Abs(float64(height)-sheet.Height*scale) > 1 {
		t.Fatalf("the picture is %d × %d pixels, the sheet %g × %g mm", width, height, sheet.Width, sheet.Height)
	}
	pixels, ok := picture.(*image.NRGBA)
	if !ok {
		t.Fatalf("the picture is a %T, not one with an alpha channel", picture)
	}
	ink := make([]uint8, width*height)
	for i := range ink {
		ink[i] = pixels.Pix[4*i+3]
	}
	var holes []cuttest.Hole
	for _, m := range blobs(ink, width, height) {
		if h, round := m.ring(scale); round {
			holes = append(holes, h)
		}
	}
	return holes
}

// moments are sums over the ink of one connected blob.
type moments struct{ sum, x, y, xx, yy, xy float64 }

// ring gives the ring that the blob is, if its ink is spread the same way in all
// directions; frames and nicks are not.
func (m moments) ring(scale float64) (cuttest.Hole, bool) {
	cx, cy := m.x/m.sum, m.y/m.sum
	vx, vy, vxy := m.xx/m.sum-cx*cx, m.yy/m.sum-cy*cy, m.xy/m.sum-cx*cy
	spread := vx + vy
	if math.Abs(vx-vy) > 0.05*spread || math.Abs(vxy) > 0.05*spread {
		return cuttest.Hole{}, false
	}
	line := svg.StrokeWidth / 2
	return cuttest.Hole{X: cx / scale, Y: cy / scale, D: 2 * math.Sqrt(spread/scale/scale-line*line)}, true
}

// blobs gives the moments of the eight-connected blobs of ink; a pixel counts at its middle.
func blobs(ink []uint8, width, height int) []moments {
	var out []moments
	var stack []int
	for start := range ink {
		if ink[start] == 0 {
			continue
		}
		var m moments
		take := func(i int) {
			v, x, y := float64(ink[i]), float64(i%width)+0.5, float64(i/width)+0.5
			m.sum += v
			m.x, m.y = m.x+v*x, m.y+v*y
			m.xx, m.yy, m.xy = m.xx+v*x*x, m.yy+v*y*y, m.xy+v*x*y
			ink[i] = 0
			stack = append(stack, i)
		}
		take(start)
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for y := max(i/width-1, 0); y <= min(i/width+1, height-1); y++ {
				for x := max(i%width-1, 0); x <= min(i%width+1, width-1); x++ {
					if ink[y*width+x] != 0 {
						take(y*width + x)
					}
				}
			}
		}
		out = append(out, m)
	}
	return out
}
