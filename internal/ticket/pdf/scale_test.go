package pdf

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"brushfall/internal/proof"
	"brushfall/internal/wording"
)

// The picture is as large as a scale lets it be that is no larger than the room.
func TestScalesOfPictures(t *testing.T) {
	for _, c := range []struct {
		across float64
		want   string
		bar    float64
	}{
		{112, "1:1", 50},
		{112.1, "1:1.5", 50},
		{168, "1:1.5", 50},
		{224, "1:2", 100},
		{248.6, "1:2.5", 100},
		{449, "1:5", 200},
		{56, "2:1", 20},
		{20, "5:1", 10},
		{2000, "1:20", 200},
		{1, "5:1", 10},
	} {
		s, ok := pictureScale(112, c.across)
		if !ok || s.in(wording.In(wording.English)) != c.want || barShows(s) != c.bar || c.across*s.of() > 112 {
			t.Errorf("%g mm: %v, %v, a bar of %g; want %s and %g", c.across, s, ok, barShows(s), c.want, c.bar)
		}
	}
	for _, across := range []float64{0, 5000} {
		if s, ok := pictureScale(112, across); ok {
			t.Errorf("%g mm at %v", across, s)
		}
	}
}

// The scale on a ticket is the one that its picture is printed at: pdfimages tells how
// wide it is on the page. Nothing is clipped, in any language and on both papers.
func TestTheTicketsPictureHasItsScale(t *testing.T) {
	for _, l := range wording.Languages() {
		for _, paper := range []Paper{A4, Letter} {
			in := badgeInput(t)
			in.Language = l
			place, err := proof.PlaceOf(in.Document, proof.Options{PixelsPerMM: 2})
			if err != nil {
				t.Fatal(err)
			}
			in.Across = float64(place.Width) / place.PixelsPerMM
			height := map[Paper]float64{A4: 297, Letter: 279.4}[paper]
			s, ok := pictureScale(math.Min(112, highestPicture(height)*float64(place.Width)/float64(place.Height)), in.Across)
			if !ok {
				t.Fatal(in.Across)
			}
			path := saved(t, printed(t, in, Options{Paper: paper}))
			v := wording.In(l)
			want := v.Say("Scale %s: the bar is %s of the design.", s.in(v), v.Millimetres(barShows(s)))
			if s.of() == 1 {
				want = v.Say("True size when printed at 100 %%: the bar is %s.", v.Millimetres(barShows(s)))
			}
			if text := strings.Join(strings.Fields(run(t, "pdftotext", "-f", "1", "-l", "1", path, "-")), " "); !strings.Contains(text, want) {
				t.Errorf("%s %s: %q is not in %q", l, paper, want, text)
			}
			list := strings.Fields(strings.Split(run(t, "pdfimages", "-list", path), "\n")[2])
			pixels, ppi := float64(asNumber(t, list[3])), float64(asNumber(t, list[12]))
			if wide := pixels / ppi * 25.4; math.Abs(wide-in.Across*s.of()) > 0.01*wide { // ppi is told in whole numbers
				t.Errorf("%s %s: the picture is %.1f mm wide, at %v it is %.1f", l, paper, wide, s, in.Across*s.of())
			}
		}
	}
}

func asNumber(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
