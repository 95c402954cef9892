package svgin

// Options bounds what Read takes on and says how finely it draws. The zero
// value of every field stands for its default.
type Options struct {
	MaxBytes       int // bytes of the file, after unpacking; default 32 MiB
	MaxElements    int // elements read, and elements drawn once `use` is expanded; default 200,000
	MaxDepth       int // nesting of elements, `use` expansion counted in, and of entities; default 200
	MaxUses        int // expansions of `use`; default 20,000
	MaxPoints      int // points of flattened outlines, dashes, round ends and corners; default 4,000,000
	MaxEntityBytes int // bytes that the document's entities stand for when all are expanded; default 1 MiB
	MaxSheetWork   int // steps spent on finding which style rules match and on applying them; default 50,000,000
	MaxWarnings    int // warnings listed; a last one counts the rest; default 500

	// Tolerance is how far a flattened curve may lie from the true one, in mm on
	// the page. Default: 0.01 mm, or a 30,000th of the page's longer side if that
	// is less, so that a small icon is still smooth when made large.
	Tolerance float64
	// Hairline is the stroke width in mm under which a stroke is a line and not an
	// area. Default: 0.1 mm, or a 2,500th of the page's longer side if that is
	// less, which is 0.1 mm on a page enlarged to 250 mm.
	Hairline float64
	// Language picks the branch of a `switch`, as a BCP 47 tag. Default "en".
	Language string
}

// The defaults of Options. Large drawings stay below a tenth of each count (from
// memory); the memory that they allow stays under 1 GB.
const (
	defaultBytes       = 32 << 20
	defaultElements    = 200_000
	defaultDepth       = 200
	defaultUses        = 20_000
	defaultPoints      = 4_000_000
	defaultEntityBytes = 1 << 20
	defaultSheetWork   = 50_000_000
	defaultWarnings    = 500
	defaultTolerance   = 0.01
	defaultHairline    = 0.1

	toleranceShare = 1.0 / 30_000 // 0.01 mm on a page enlarged to 300 mm
	hairlineShare  = 1.0 / 2_500  // 0.1 mm on a page enlarged to 250 mm
)

// filled gives o with its defaults in place.
func (o Options) filled() Options {
	for _, f := range []struct {
		field *int
		value int
	}{
		{&o.MaxBytes, defaultBytes},
		{&o.MaxElements, defaultElements},
		{&o.MaxDepth, defaultDepth},
		{&o.MaxUses, defaultUses},
		{&o.MaxPoints, defaultPoints},
		{&o.MaxEntityBytes, defaultEntityBytes},
		{&o.MaxSheetWork, defaultSheetWork},
		{&o.MaxWarnings, defaultWarnings},
	} {
		if *f.field <= 0 {
			*f.field = f.value
		}
	}
	if o.Language == "" {
		o.Language = "en"
	}
	return o
}

// fitted gives o with the lengths that depend on the page, whose longer side is
// given in mm.
func (o Options) fitted(page float64) Options {
	if !(o.Tolerance > 0) {
		o.Tolerance = min(defaultTolerance, page*toleranceShare)
	}
	if !(o.Hairline > 0) {
		o.Hairline = min(defaultHairline, page*hairlineShare)
	}
	return o
}
