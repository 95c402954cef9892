package office

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"slices"
	"strings"

	"golang.org/x/image/draw"

	"brushfall/internal/fault"
	"brushfall/internal/plate"
	"brushfall/internal/shop"
	"brushfall/internal/ticket"
)

// CutKinds are the kinds of cut files that are kept with a template, by the ends of
// their names.
func CutKinds() []string { return []string{"svg", "dxf", "plt", "pdf"} }

// KeptKinds reads which of them are kept: "all", "none" or some with commas between.
// Fault "usage".
func KeptKinds(text string) ([]string, error) {
	switch text {
	case "all":
		return CutKinds(), nil
	case "none", "":
		return nil, nil
	}
	kinds := strings.Split(text, ",")
	for _, k := range kinds {
		if !slices.Contains(CutKinds(), k) {
			return nil, fault.New("usage", "--keep", "%q is no kind of cut file; write all, none or some of %s", k, strings.Join(CutKinds(), ","))
		}
	}
	return kinds, nil
}

// TemplateOf makes an entry of the book of a made design, with its cut files of some
// kinds and its picture. file gives a file that was made with it, nil for one that is
// not there. Faults: "template" where it has no plates, "picture", those of counting
// and of file.
func TemplateOf(m Made, kinds []string, file func(name string) ([]byte, error)) (shop.NewTemplate, error) {
	doc := m.Document
	if len(doc.Plates) == 0 {
		return shop.NewTemplate{}, fault.New("template", "", "the design has no plates; make it again")
	}
	f := doc.Plates[0].Frame
	n := shop.NewTemplate{
		Print: plate.Print(doc.Plates), Mark: cmp.Or(shop.TemplateMark(doc.Plates[0].Code), ticket.Code(doc)), Design: doc.Design,
		Width: doc.Width, Height: doc.Height, FrameWidth: f[2] - f[0], FrameHeight: f[3] - f[1], Plates: len(doc.Plates),
	}
	var err error
	if n.Kinds, err = m.stones(); err != nil {
		return n, err
	}
	sum := sha256.Sum256(m.Layout)
	n.Digest = hex.EncodeToString(sum[:])
	n.Files = []shop.TemplateFile{{Name: LayoutName, Data: m.Layout}}
	for _, s := range doc.Sheets {
		for _, k := range kinds {
			name := fmt.Sprintf("sheet-%d.%s", s.Number, k)
			data, err := file(name)
			if err != nil {
				return n, err
			}
			if data != nil { // else a format that could not hold the sheet, or sheets that designs share
				n.Files = append(n.Files, shop.TemplateFile{Name: name, Data: data})
			}
		}
	}
	picture, err := file(PictureName)
	if err != nil || picture == nil {
		return n, err
	}
	n.Picture, err = smallPicture(picture)
	return n, err
}

// pictureSide is the longest side of the picture that the book keeps, in pixels:
// enough for a label and for a list on a screen.
const pictureSide = 480

// mostPixels bounds a picture that is read: 100 million take 400 MB.
const mostPixels = 100_000_000

// smallPicture scales the picture of a design down.
func smallPicture(text []byte) ([]byte, error) {
	head, err := png.DecodeConfig(bytes.NewReader(text))
	if err == nil && head.Width*head.Height > mostPixels {
		return nil, fault.New("picture", "proof.png", "the picture has %d × %d points; it is not one of ours", head.Width, head.Height)
	}
	full, err2 := png.Decode(bytes.NewReader(text))
	if err != nil || err2 != nil {
		return nil, fault.New("picture", "proof.png", "the picture cannot be read; make the design again, or remove it")
	}
	size := full.Bounds().Size()
	k := min(1, float64(pictureSide)/float64(max(size.X, size.Y)))
	small := image.NewRGBA(image.Rect(0, 0, max(1, int(float64(size.X)*k)), max(1, int(float64(size.Y)*k))))
	draw.CatmullRom.Scale(small, small.Bounds(), full, full.Bounds(), draw.Src, nil)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, small, &jpeg.Options{Quality: 88}); err != nil {
		return nil, fault.Wrap("picture", err)
	}
	return out.Bytes(), nil
}

// nearly is the share of the stones that must be there for a template to be told as
// nearly possible.
const nearly = 0.75

// BrushQuestion asks which templates can be brushed, and which nearly; with all every
// one of them. Most is how many are told, 0: all.
func BrushQuestion(transfers int, swap, all bool, most int) shop.BrushQuestion {
	q := shop.BrushQuestion{Transfers: transfers, Swap: swap, Least: nearly, Most: most}
	if all {
		q.Least, q.Most = 0, 0
	}
	return q
}
