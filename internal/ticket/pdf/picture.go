package pdf

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"

	"codeberg.org/go-pdf/fpdf"

	"brushfall/internal/fault"
)

// picturePixels is the longest side the picture is printed with: 300 dots an
// inch and more at the width it has on the page.
const picturePixels = 1600

const (
	pictureName    = "proof"
	pictureQuality = 90 // of JPEG: facets stay crisp, the file a tenth of a PNG's
)

// picture registers the picture under a name and gives its width ÷ height, 0 for none.
func (p *page) picture(name string, img image.Image) (float64, error) {
	if img == nil {
		return 0, nil
	}
	size := img.Bounds().Size()
	if size.X == 0 || size.Y == 0 {
		return 0, &fault.Error{Kind: fault.Internal, Code: "ticket-picture", Message: "the picture of the design has no pixels"}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, shrink(img, picturePixels), &jpeg.Options{Quality: pictureQuality}); err != nil {
		return 0, fault.Wrap("ticket-picture", err)
	}
	p.f.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "JPG"}, &b)
	return float64(size.X) / float64(size.Y), nil
}

// pngPicture registers a picture of the bytes of a PNG.
func (p *page) pngPicture(name string, data []byte) (float64, error) {
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return 0, fault.New("ticket-picture", "", "the picture cannot be read as PNG (%v)", err)
	}
	return p.picture(name, img)
}

// shrink makes the longest side at most most pixels, each the mean of a square
// of whole pixels: unlike a resampling kernel it needs no memory but the result.
func shrink(img image.Image, most int) image.Image {
	size := img.Bounds().Size()
	k := (max(size.X, size.Y) + most - 1) / most
	if k <= 1 {
		return img
	}
	src, ok := img.(*image.RGBA)
	if !ok {
		src = image.NewRGBA(image.Rectangle{Max: size})
		draw.Draw(src, src.Bounds(), img, img.Bounds().Min, draw.Src)
	}
	out := image.NewRGBA(image.Rect(0, 0, max(1, size.X/k), max(1, size.Y/k)))
	for y := range out.Bounds().Dy() {
		for x := range out.Bounds().Dx() {
			mean(out.Pix[y*out.Stride+4*x:], src, k*x, k*y, k)
		}
	}
	return out
}

// mean writes the mean of the k × k pixels from x, y; those beyond the edge are
// left out.
func mean(to []byte, src *image.RGBA, x, y, k int) {
	var sum [4]int
	n := 0
	for j := y; j < min(y+k, src.Bounds().Dy()); j++ {
		for i := x; i < min(x+k, src.Bounds().Dx()); i++ {
			for c := range sum {
				sum[c] += int(src.Pix[j*src.Stride+4*i+c])
			}
			n++
		}
	}
	for c := range sum {
		to[c] = byte((sum[c] + n/2) / max(1, n))
	}
}
