// Package fit keeps a shop's own fits: by how much a hole must be wider than the
// largest stone of a size, found with trial holes for a flock and a cutter. Its
// file is described in docs/formats/fits.md. Lengths are millimetres.
package fit

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
)

// Usual is the name of flock and cutter where none is given.
const Usual = "usual"

// Bounds. Least and Most are of a fit in mm: a hole narrower than the stone, or
// more than half as wide again as an SS40, is a slip.
const (
	Least, Most = 0.0, 5.0
	version     = 1
	mostBytes   = 1 << 20
	mostFits    = 5000
	longestName = 40
)

// Fit is one entry: the fit of a size's holes in a flock on a cutter.
type Fit struct {
	Size   string  `json:"size"`
	Flock  string  `json:"flock"`
	Cutter string  `json:"cutter"`
	Fit    float64 `json:"fit"`
}

// Book is the shop's fits. Flock and Cutter are those that a job without any
// means: the first that were entered. The zero Book is empty.
type Book struct {
	Flock, Cutter string
	Fits          []Fit
}

// book is the form of the file.
type book struct {
	Version int    `json:"version"`
	Unit    string `json:"unit"`
	Flock   string `json:"flock"`
	Cutter  string `json:"cutter"`
	Fits    []Fit  `json:"fits"`
}

// CheckName refuses a name of a flock or a cutter that is blank, longer than 40
// characters, or with characters that cannot be printed. Fault "fit-name".
func CheckName(name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return fault.New("fit-name", "", "the name is blank; give one such as \"black\"")
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		return fault.New("fit-name", "", "the name %.40q has characters that cannot be printed", name)
	case utf8.RuneCountInString(name) > longestName:
		return fault.New("fit-name", "", "the name %.50q is longer than %d characters", name, longestName)
	}
	return nil
}

// Read reads a book. Faults: "fit-file" for what is no such file, whole or in
// part, "size-unknown", "fit-name", "fit-range", "fit-twice".
func Read(r io.Reader) (Book, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return Book{}, fault.New("fit-file", "", "the fits cannot be read: %v", err)
	}
	if len(text) > mostBytes {
		return Book{}, fault.New("fit-file", "", "the file is larger than %d KB, too much for a list of fits", mostBytes>>10)
	}
	var b book
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.DisallowUnknownFields()
	if err := d.Decode(&b); err != nil {
		return Book{}, fault.New("fit-file", "", "this is not a list of fits (%v); see docs/formats/fits.md, or move the file away and enter the fits again", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return Book{}, fault.New("fit-file", "", "something follows the list of fits; take it out")
	}
	if b.Version != version || b.Unit != "mm" {
		return Book{}, fault.New("fit-file", "", "version %d in %q is not known; this program reads version %d in mm", b.Version, b.Unit, version)
	}
	out := Book{Flock: b.Flock, Cutter: b.Cutter}
	for _, name := range []string{b.Flock, b.Cutter} {
		if err := CheckName(name); name != "" && err != nil {
			return Book{}, err
		}
	}
	for i, f := range b.Fits {
		place := fmt.Sprintf("fit %d", i+1)
		if _, known := out.find(f.Size, f.Flock, f.Cutter); known {
			return Book{}, fault.New("fit-twice", place, "%s on %s and %s stands twice; keep one", f.Size, f.Flock, f.Cutter)
		}
		if err := out.put(f); err != nil {
			return Book{}, fault.Placed(err, func(string) string { return place })
		}
	}
	return out, nil
}

// Write writes the book: by flock, cutter and size, three decimals.
func (b Book) Write(w io.Writer) error {
	var s strings.Builder
	flock, cutter := quote(b.Flock), quote(b.Cutter)
	fmt.Fprintf(&s, "{\"version\":%d,\"unit\":\"mm\",\"flock\":%s,\"cutter\":%s,\"fits\":[", version, flock, cutter)
	for i, f := range b.sorted() {
		if i > 0 {
			s.WriteByte(',')
		}
		fmt.Fprintf(&s, "\n {\"size\":%s,\"flock\":%s,\"cutter\":%s,\"fit\":%.3f}", quote(f.Size), quote(f.Flock), quote(f.Cutter), f.Fit)
	}
	s.WriteString("\n]}\n")
	if _, err := io.WriteString(w, s.String()); err != nil {
		return fault.Wrap("fit-write", err)
	}
	return nil
}

func quote(s string) string {
	text, _ := json.Marshal(s) // a string always has a form
	return string(text)
}

// sorted gives the fits by flock, cutter and diameter.
func (b Book) sorted() []Fit {
	out := slices.Clone(b.Fits)
	largest := func(f Fit) float64 {
		size, _ := catalogue.FindSize(f.Size) // put has looked it up
		return size.Largest
	}
	slices.SortFunc(out, func(x, y Fit) int {
		return cmp.Or(cmp.Compare(x.Flock, y.Flock), cmp.Compare(x.Cutter, y.Cutter), cmp.Compare(largest(x), largest(y)))
	})
	return out
}

// Sorted gives the fits as Write writes them.
func (b Book) Sorted() []Fit { return b.sorted() }

// With gives the book with a fit entered or replaced; the book itself stays as it
// is. Blank names are those that the book means without any. Faults as of Read.
func (b Book) With(f Fit) (Book, error) {
	size, err := catalogue.FindSize(f.Size)
	if err != nil {
		return b, err
	}
	f.Size = size.Name
	f.Flock, f.Cutter = b.Names(f.Flock, f.Cutter)
	out := b
	out.Fits = slices.DeleteFunc(slices.Clone(b.Fits), func(o Fit) bool { return same(o, f.Size, f.Flock, f.Cutter) })
	if err := out.put(f); err != nil {
		return b, err
	}
	if out.Flock == "" {
		out.Flock = f.Flock
	}
	if out.Cutter == "" {
		out.Cutter = f.Cutter
	}
	return out, nil
}

// Names gives the flock and the cutter that are meant: the given ones, where none
// is given the book's own, and Usual where it has none.
func (b Book) Names(flock, cutter string) (string, string) {
	return cmp.Or(strings.TrimSpace(flock), b.Flock, Usual), cmp.Or(strings.TrimSpace(cutter), b.Cutter, Usual)
}

// Find gives the fit of a size on a flock and a cutter, as Names has them. Upper
// and lower case are alike.
func (b Book) Find(size, flock, cutter string) (Fit, bool) {
	flock, cutter = b.Names(flock, cutter)
	return b.find(size, flock, cutter)
}

func (b Book) find(size, flock, cutter string) (Fit, bool) {
	i := slices.IndexFunc(b.Fits, func(f Fit) bool { return same(f, size, flock, cutter) })
	if i < 0 {
		return Fit{}, false
	}
	return b.Fits[i], true
}

func same(f Fit, size, flock, cutter string) bool {
	return strings.EqualFold(f.Size, size) && strings.EqualFold(f.Flock, flock) && strings.EqualFold(f.Cutter, cutter)
}

// put checks a fit and appends it.
func (b *Book) put(f Fit) error {
	size, err := catalogue.FindSize(f.Size)
	if err != nil {
		return err
	}
	f.Size = size.Name
	if err := cmp.Or(CheckName(f.Flock), CheckName(f.Cutter)); err != nil {
		return err
	}
	if !(f.Fit >= Least && f.Fit <= Most) {
		return fault.New("fit-range", "", "a fit of %g mm cannot be; give %g to %g mm, the hole's diameter less the largest stone's", f.Fit, Least, Most)
	}
	f.Fit = math.Round(f.Fit*1000) / 1000
	if len(b.Fits) == mostFits {
		return fault.New("fit-file", "", "there are more than %d fits", mostFits)
	}
	b.Fits = append(b.Fits, f)
	return nil
}
