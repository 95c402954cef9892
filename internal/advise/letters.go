package advise

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"brushfall/internal/unit"
)

// Letters is a piece of lettering in the drawing: its text and, in mm, how high its
// capitals are at the width asked for.
type Letters struct {
	Text    string      `json:"text"`
	Capital float64     `json:"capital_mm"`
	Reads   []ReadsFrom `json:"reads_from"`
}

// ReadsFrom says from which height of its capitals, in mm, a piece reads with a size of
// stone, the whole drawing being scaled; 0 if none was found.
type ReadsFrom struct {
	Size    string  `json:"size"`
	Capital float64 `json:"capital_mm"`
}

// TableOfText prints the advice on one piece of lettering that is a whole design: from
// which height of a capital it reads with each size, and, where a height was asked
// about, what is lost at it.
func (r Report) TableOfText(w io.Writer, face string, asked bool) error {
	var b bytes.Buffer
	l := r.Letters[0]
	fmt.Fprintf(&b, "%q in %s, by the height of a capital:\n", l.Text, face)
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for i, v := range r.Sizes {
		if v.Smallest > 0 {
			fmt.Fprintf(t, "  %s\treads from %s\tthe piece %s wide\n", v.Size, atLeast(l.Reads[i].Capital), unit.Length(v.Smallest).Both())
		} else {
			fmt.Fprintf(t, "  %s\treads at none that was tried\ttake smaller stones, or a plainer or bolder face\n", v.Size)
		}
	}
	t.Flush()
	if asked {
		fmt.Fprintf(&b, "\nAt %s, the piece %s wide:\n", unit.Length(l.Capital).Both(), unit.Length(r.Width).Both())
		for _, v := range r.Sizes {
			fmt.Fprintf(&b, "  %s %s, with about %d stones", v.Size, v.Grade, about(v.Stones))
			if v.Whole != nil {
				fmt.Fprintf(&b, " (read %s)", shown(*v.Whole))
			}
			if len(v.Lost) > 0 {
				fmt.Fprintf(&b, ": %s", named(v.Lost))
			}
			fmt.Fprintln(&b)
		}
	}
	fmt.Fprintln(&b, "\nAt a height between, or above, it may read less: what is named was laid out and reads. Ask about yours with --height.")
	_, err := b.WriteTo(w)
	return err
}

// lettersRead gives the heights at which the pieces of lettering read.
func (r *Report) lettersRead(letters []Letters) {
	r.Letters = []Letters{}
	for _, l := range letters {
		l.Reads = []ReadsFrom{}
		for _, v := range r.Sizes {
			l.Reads = append(l.Reads, ReadsFrom{v.Size, l.Capital * v.Smallest / r.Width})
		}
		r.Letters = append(r.Letters, l)
	}
}

func (r Report) printLetters(w io.Writer) {
	if len(r.Letters) == 0 {
		return
	}
	fmt.Fprintln(w, "\nLetters, by the height of a capital, the whole design growing with them:")
	for _, l := range r.Letters {
		var from []string
		for _, s := range l.Reads {
			if s.Capital > 0 {
				from = append(from, fmt.Sprintf("%s from %s", s.Size, atLeast(s.Capital)))
			} else {
				from = append(from, s.Size+" at none that was tried")
			}
		}
		fmt.Fprintf(w, "  %q, now %.1f mm, reads with %s\n", l.Text, l.Capital, strings.Join(from, ", "))
	}
}
