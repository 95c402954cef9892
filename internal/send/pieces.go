package send

import "sort"

// breaks gives the places at which the stream may stop, rising: after each
// command, and within a long list of coordinates after each pair. The blade is
// then where the commands so far have it.
func breaks(text []byte) []int {
	var out []int
	all, _ := commands(text) // of a stream that was read
	for _, c := range all {
		if c.name == "PU" || c.name == "PD" || c.name == "PA" || c.name == "PR" {
			numbers := 1
			for i := c.from; i < c.to; i++ {
				if text[i] != ',' {
					continue
				}
				if numbers%2 == 0 {
					out = append(out, i)
				}
				numbers++
			}
		}
		out = append(out, c.to)
	}
	return out
}

// pieces cuts the text at breaks into pieces of at most block bytes; one is
// longer only where there is no break within block bytes. A command shorter than
// a block stays whole.
func pieces(text []byte, block int) [][]byte {
	all, _ := commands(text)
	var whole []int // ends of commands
	for _, c := range all {
		whole = append(whole, c.to)
	}
	within := breaks(text)
	var out [][]byte
	for from := 0; from < len(text); {
		to := reach(whole, from, block)
		if to < 0 {
			to = reach(within, from, block)
		}
		if to < 0 {
			to = after(within, from, len(text))
		}
		out = append(out, text[from:to])
		from = to
	}
	return out
}

// reach gives the last place that is at most block bytes after from, -1 for none.
func reach(places []int, from, block int) int {
	best := -1
	for _, p := range window(places, from) {
		if p > from+block {
			break
		}
		best = p
	}
	return best
}

// after gives the first place after from, or the end: the last piece has the rest.
func after(places []int, from, end int) int {
	for _, p := range window(places, from) {
		return p
	}
	return end
}

// window gives the places after from.
func window(places []int, from int) []int {
	return places[sort.SearchInts(places, from+1):]
}
