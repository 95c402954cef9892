package plate

import (
	"cmp"
	"slices"
)

// gathered puts the stones of a kind together on as few of the plates as go with
// the share: a plate that holds few of a kind gives them to others that hold the
// kind already, if those take them all. A plate that holds no more is left out.
func (w *work) gathered(g group, s share) share {
	at := make(map[int]int, len(g.stones))
	members := map[[2]int][]int{} // kind and plate: places in the group
	for i, stone := range g.stones {
		at[stone] = i
		key := [2]int{w.kindOf[stone], s.of[i]}
		members[key] = append(members[key], i)
	}
	for _, k := range g.kinds {
		var plates []int
		for p := range s.count {
			if len(members[[2]int{k, p}]) > 0 {
				plates = append(plates, p)
			}
		}
		slices.SortStableFunc(plates, func(a, b int) int {
			return cmp.Compare(len(members[[2]int{k, a}]), len(members[[2]int{k, b}]))
		})
		for len(plates) > 1 && w.give(g, s, at, members[[2]int{k, plates[0]}], plates[1:]) {
			plates = plates[1:]
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
