package svgin

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"brushfall/internal/artwork"
	"brushfall/internal/outside"
)

// agreed is the share of pixels that may differ in a file that agrees.
const agreed = 0.005

func filesOf(t testing.TB, pattern string) []string {
	t.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("no files match %s (%v)", pattern, err)
	}
	return files
}

// each runs f on every file, two at a time: most of the time is the outside
// reader's.
func each(files []string, f func(i int, file string)) {
	var wait sync.WaitGroup
	for k := range 2 {
		wait.Go(func() {
			for i := k; i < len(files); i += 2 {
				f(i, files[i])
			}
		})
	}
	wait.Wait()
}

// TestAgreement compares the normalised drawing with what rsvg-convert (librsvg)
// makes of the same file: icons of npm packages, one file a feature, and the path
// cases of the resvg test suite. At least 99 % of the files must agree, and those
// that do not are named in docs/formats/artwork.md.
func TestAgreement(t *testing.T) {
	outside.Need(t, "rsvg-convert")
	sets := append(filesOf(t, "testdata/icons/*"), "testdata/features", "testdata/path")
	files, within := 0, 0
	t.Logf("%-24s %6s %7s %10s", "set", "files", "within", "worst")
	for _, set := range sets {
		if info, err := os.Stat(set); err != nil || !info.IsDir() {
			continue
		}
		list := filesOf(t, set+"/*.svg")
		shares := make([]float64, len(list))
		each(list, func(i int, file string) { shares[i] = agreement(t, file) })
		good := 0
		for i, share := range shares {
			if share <= agreed {
				good++
			} else {
				t.Errorf("%s: %.2f %% of the pixels differ", list[i], share*100)
			}
		}
		worst := slices.Max(shares)
		t.Logf("%-24s %6d %7d %8.3f %%  %s", filepath.Base(set), len(list), good, worst*100, filepath.Base(list[slices.Index(shares, worst)]))
		files, within = files+len(list), within+good
	}
	t.Logf("%-24s %6d %7d", "all", files, within)
	if float64(within) < 0.99*float64(files) {
		t.Errorf("%d of %d files agree: under 99 %%", within, files)
	}
}

// TestStandard holds where librsvg 2.54 departs from the standard. Each file is
// read by us and compared with librsvg's picture of the plain file beside it, which
// says the same in terms that it understands. The standards: SVG 2 §8.8 (unknown
// aspect), CSS Masking 1 §5.1 (clips on clips), CSS Conditional 3 (media), SVG 1.1
// §F.2 (points up to the fault), SVG 2 §8.13 (non-scaling), SVG 2 §3.6 (symbols
// clip), CSS Values 3 §5.2 (Q).
func TestStandard(t *testing.T) {
	for _, plain := range filesOf(t, "testdata/standard/*.plain.svg") {
		file := strings.Replace(plain, ".plain", "", 1)
		img := rsvg(t, plain)
		size := img.Bounds().Size()
		d := artwork.Visible(readFile(t, file))
		if share := differing(picture(t, d, size.X, size.Y), img); share > agreed {
			t.Errorf("%s: %.2f %% of the pixels differ from the plain drawing", file, share*100)
		}
	}
}

// TestVisibleColours looks at pixels that librsvg paints in one colour all round:
// the region that holds the pixel's centre must have that very colour, and there
// must be only one such region.
func TestVisibleColours(t *testing.T) {
	files := slices.Concat(filesOf(t, "testdata/icons/fluent-emoji-flat/*.svg"), filesOf(t, "testdata/icons/flag-icons/*.svg"),
		[]string{"testdata/features/overlaps.svg", "testdata/features/touching.svg", "testdata/features/stroke-over-fill.svg"})
	each(files, func(_ int, file string) {
		d := artwork.Visible(readFile(t, file))
		img := rsvg(t, file)
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		seen, wrong := 0, ""
		at := newLookup(d, w, h)
		for y := 1; y < h-1; y++ {
			for x := 1; x < w-1; x++ {
				c := rgbAt(img, x, y)
				flat := true
				for k := range 9 {
					flat = flat && rgbAt(img, x-1+k%3, y-1+k/3) == c
				}
				if !flat {
					continue
				}
				seen++
				if got := at.paints(x, y); got != fmt.Sprintf("#%02x%02x%02x", int(c[0]), int(c[1]), int(c[2])) && !(got == "" && c == [3]float64{255, 255, 255}) {
					wrong = fmt.Sprintf("pixel %d,%d: %q, librsvg has %v", x, y, got, c)
				}
			}
		}
		if wrong != "" || seen < w*h/2 {
			t.Errorf("%s: %d flat pixels; %s", file, seen, wrong)
		}
	})
}
