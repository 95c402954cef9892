package layout

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math"

	"brushfall/internal/geom"
)

// digest stands for all values that were put into it: two lists of values have the
// same only if they are the same (SHA-256, FIPS 180-4).
type digest [sha256.Size]byte

// digester makes a digest. Each value is put in at a fixed length, or after its
// length, so that no two lists are written alike.
type digester struct {
	hash hash.Hash
	buf  []byte
}

func newDigester() *digester { return &digester{hash: sha256.New()} }

func (d *digester) sum() (out digest) {
	d.hash.Write(d.buf)
	d.hash.Sum(out[:0])
	return out
}

// chunk is about how many bytes are hashed at once.
const chunk = 1 << 12

func (d *digester) word(v uint64) {
	if d.buf = binary.LittleEndian.AppendUint64(d.buf, v); len(d.buf) >= chunk {
		d.hash.Write(d.buf)
		d.buf = d.buf[:0]
	}
}

func (d *digester) count(n int) { d.word(uint64(n)) }

func (d *digester) yes(v bool) {
	if v {
		d.word(1)
	} else {
		d.word(0)
	}
}

func (d *digester) lengths(all ...float64) {
	for _, v := range all {
		d.word(math.Float64bits(v))
	}
}

func (d *digester) text(s string) {
	d.count(len(s))
	d.buf = append(d.buf, s...)
}

func (d *digester) point(p geom.Point) { d.lengths(p.X, p.Y) }

func (d *digester) points(all []geom.Point) {
	d.count(len(all))
	for _, p := range all {
		d.point(p)
	}
}

func (d *digester) rings(s geom.Shape) {
	d.count(len(s.Rings))
	for _, r := range s.Rings {
		d.points(r)
	}
}

func (d *digester) digest(other digest) { d.buf = append(d.buf, other[:]...) }

// outline gives the digest of a region's outlines and lines.
func (r Region) outline() digest {
	d := newDigester()
	d.rings(r.Shape)
	d.count(len(r.Lines))
	for _, l := range r.Lines {
		d.points(l)
	}
	return d.sum()
}

// places puts in what the places of the region's stones depend on, apart from its
// outline: everything but its name and its colours.
func (d *digester) places(r Region) {
	d.count(len(r.Treatment))
	for _, t := range r.Treatment {
		d.text(string(t))
	}
	d.text(string(r.Bed))
	d.bed(r.BedAs)
	d.kind(r.own())
	d.lengths(r.Margin)
	if d.yes(r.Accents != nil); r.Accents != nil {
		d.kind(r.Accents.Extra)
		d.count(r.Accents.Every)
		d.yes(r.Accents.Corners)
	}
	d.count(len(r.Fills))
	for _, f := range r.Fills {
		d.kind(f)
	}
}

// kind puts in a kind of stone without its colour.
func (d *digester) kind(e Extra) {
	d.text(e.Size)
	d.lengths(e.Diameter, e.Gap)
}

func (d *digester) bed(b BedSettings) {
	d.lengths(b.Angle, b.Density, b.DensityTo, b.Towards)
	d.count(int(b.Columns))
	d.word(b.Seed)
	if d.yes(b.Centre != nil); b.Centre != nil {
		d.point(*b.Centre)
	}
}

// colours puts in the name of a region, which lots are drawn by, and its colours.
func (d *digester) colours(r Region) {
	d.text(r.ID)
	d.text(r.Colour)
	if d.yes(r.Accents != nil); r.Accents != nil {
		d.text(r.Accents.Colour)
	}
	d.count(len(r.Fills))
	for _, f := range r.Fills {
		d.text(f.Colour)
	}
	d.count(len(r.Coats))
	for _, c := range r.Coats {
		d.coat(c)
	}
}

func (d *digester) coat(c Coat) {
	d.yes(c.Roles != nil) // none is not the same as every
	d.count(len(c.Roles))
	for _, r := range c.Roles {
		d.text(string(r))
	}
	d.count(int(c.Pattern))
	d.count(len(c.Colours))
	for _, colour := range c.Colours {
		d.text(colour)
	}
	d.count(len(c.Shares))
	d.lengths(c.Shares...)
	d.word(c.Seed)
	d.lengths(c.Towards)
	d.yes(c.Outward)
}
