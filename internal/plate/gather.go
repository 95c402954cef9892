package plate

import (
	"cmp"
	"slices"
)

// gathered puts the stones of a kind together on as few of the plates as go with
// the share: a plate that holds few of a kind gives them to others that hold the
// kind already, the fullest first, if those take them all. A plate that holds no
// more is left out.
func (w *work) gathered(g group, s share) share {
	at := make(map[int]int, len(g.stones))
	members := make(map[int][]int) // kind: its places in the group
	for i, stone := range g.stones {
		at[stone] = i
		members[w.kindOf[stone]] = append(members[w.kindOf[stone]], i)
	}
	for _, k := range g.kinds {
		holds := make([][]int, s.count) // plate: places of the kind
		for _, i := range members[k] {
			holds[s.of[i]] = append(holds[s.of[i]], i)
		}
		var plates []int // the fullest first
		for p := range holds {
			if len(holds[p]) > 0 {
				plates = append(plates, p)
			}
		}
		slices.SortStableFunc(plates, func(a, b int) int { return cmp.Compare(len(holds[b]), len(holds[a])) })
		for last := len(plates) - 1; last > 0; last-- {
			places := holds[plates[last]]
			if !w.give(g, s, at, places, plates[:last]) {
				break
			}
			for _, i := range places {
				holds[s.of[i]] = append(holds[s.of[i]], i)
			}
		}
	}
	return s.closed()
}

// give moves stones onto the first of the plates that takes each; none is moved
// if one cannot be.
func (w *work) give(g group, s share, at map[int]int, places, plates []int) bool {
	from := s.of[places[0]]
	for n, i := range places {
		to := slices.IndexFunc(plates, func(p int) bool {
			return !slices.ContainsFunc(w.near[g.stones[i]], func(t int) bool {
				j, in := at[t]
				return in && s.of[j] == p
			})
		})
		if to < 0 {
			for _, j := range places[:n] {
				s.of[j] = from
			}
			return false
		}
		s.of[i] = plates[to]
	}
	return true
}

// closed renumbers the plates that hold stones.
func (s share) closed() share {
	number := make([]int, s.count)
	for _, p := range s.of {
		number[p] = 1
	}
	out := share{of: make([]int, len(s.of))}
	for p, used := range number {
		number[p] = out.count
		out.count += used
	}
	for i, p := range s.of {
		out.of[i] = number[p]
	}
	return out
}
