package job

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"brushfall/internal/cut"
	"brushfall/internal/fit"
	"brushfall/internal/gauge"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

// GaugeJob asks for a plate of trial holes. Flock and Cutter name what it is cut
// from and on, the words that the answer is entered with. Now is the fit in use.
type GaugeJob struct {
	Trial         gauge.Trial
	Flock, Cutter string
	Now           float64
	// Like is the job whose cutter, mirroring and paper are taken: holes that are
	// cut otherwise tell nothing of it.
	Like Job
	// Answer is the command that enters the number N, as the paper prints it.
	Answer string
}

// Gauge makes the files of a plate of trial holes, through the same cut plan and
// the same writers as a design's: sheet-1 in every format, gauge.pdf.
func Gauge(g GaugeJob) ([]File, error) {
	doc := g.Trial.Document
	doc.Mirrored = g.Like.Mirror
	sheets, err := cut.Plan(doc, cut.Options{})
	if err != nil {
		return nil, err
	}
	writers, err := g.Like.cutWriters()
	if err != nil {
		return nil, err
	}
	var files []File
	add := func(name string, write func(io.Writer) error) error {
		var b bytes.Buffer
		err := write(&b)
		files = append(files, File{name, b.Bytes()})
		return err
	}
	for _, s := range sheets {
		for _, f := range writers {
			if err := add(fmt.Sprintf("sheet-%d.%s", s.Number, f.ext), func(w io.Writer) error { return f.write(w, s) }); err != nil {
				return nil, err
			}
		}
	}
	err = add("gauge.pdf", func(w io.Writer) error {
		return pdf.WriteTrial(w, g.paper(), pdf.Options{Paper: pdf.Paper(g.Like.Paper)})
	})
	return files, err
}

// sameFit is half of what is printed of a fit, in mm.
const sameFit = 0.005

// paper is the paper as a model.
func (g GaugeJob) paper() ticket.Trial {
	t, p := g.Trial, g.Trial.Document.Plates[0]
	width, height := p.Frame[2]-p.Frame[0], p.Frame[3]-p.Frame[1]
	v := wording.In(g.Like.Language)
	tries := t.Holes * gauge.Brushings
	out := ticket.Trial{
		Language: g.Like.Language,
		Title:    v.Say("%s trial holes", t.Size.Name), Made: v.Say("flock %s, cutter %s", orUsual(v, g.Flock), orUsual(v, g.Cutter)),
		Plate: ticket.Plate{Number: 1, Frame: p.Frame, Notch: p.Notch, Nicks: p.Nicks, Size: v.Area(width, height)},
		Steps: g.steps(v), Enter: []string{g.Answer},
		Notes: []string{
			v.Say("Blades are sharp, worn ones too: keep fingers away from the moving carriage. Small stones can be swallowed: keep them from children. The makers' instructions go before this paper."),
			v.Say("%[1]d holes a group, brushed %[2]d times, are %[3]d tries. If every one took its stone, fewer than %[4]s %% refuse in the long run (with 95 %% confidence: 1 − 0.05^(1/%[3]d), Clopper and Pearson 1934).",
				t.Holes, gauge.Brushings, tries, v.Fixed(100*gauge.RefusedBelow(tries), 1)),
			v.Say("A fit holds for this size, this flock and this cutter with its blade. Cut trial holes again for another of them, and when a new lot of stones falls in badly."),
		},
	}
	for _, h := range p.Holes {
		out.Plate.Holes = append(out.Plate.Holes, ticket.Hole{X: h.X, Y: h.Y, D: h.D, Swatch: ticket.Swatch{Hex: "#ffffff"}})
	}
	for _, stroke := range t.Numbers {
		out.Numbers = append(out.Numbers, pairs(stroke))
	}
	for _, s := range t.Steps {
		out.Groups = append(out.Groups, ticket.TrialGroup{
			Number: s.Number, Hole: v.Say("%s mm", v.Fixed(s.Hole, 2)), Fit: v.Say("%s mm", v.Fixed(s.Fit, 2)), Now: math.Abs(s.Fit-g.Now) < sameFit,
		})
	}
	return out
}

func orUsual(v wording.Voice, name string) string {
	if name == "" || name == fit.Usual {
		return v.Say("usual")
	}
	return name
}

func (g GaugeJob) steps(v wording.Voice) []ticket.Step {
	size := g.Trial.Size.Name
	return []ticket.Step{
		{Title: v.Say("Cut"), Text: v.Say("Cut the sheet at 100 %%, from the flock and with the blade, force, speed and passes of your templates.")},
		{Title: v.Say("Weed"), Text: v.Say("Peel the plate off its discs; every hole must be open. The cut numbers say which group is which, the notch is on top.")},
		{Title: v.Say("Brush"), Text: v.Say("Lay it on the tray, pour %s stones and brush in light circles as always, no longer than 15 seconds. Pour off what is left over.", size)},
		{Title: v.Say("Look"), Text: v.Say("Group by group: is a stone in every hole, flat and all the way down? Does no hole hold two, or one that slides about or has turned over? Tick what is true.")},
		{Title: v.Say("Again"), Text: v.Say("Empty the plate and brush it with other stones of the lot: %d times in all.", gauge.Brushings)},
		{Title: v.Say("Choose"), Text: v.Say("Take the narrowest group in which every box is ticked. If it is the first or the last one, cut trial holes around it. If there is none, mind the blade first: holes that are not round take no stone well.")},
	}
}
