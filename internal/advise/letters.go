package advise

import (
	"fmt"
	"io"
	"strings"
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
