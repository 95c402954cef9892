package layout

import (
	"context"
	"slices"
	"sync"

	"brushfall/internal/geom"
)

// Memory is what a layout leaves for the next one of much the same design: the
// regions as they were laid, each with a digest of all that it depended on. A
// region for which everything is as it was is not laid again, and where only
// colours differ it is only painted again; the result is the same as without. Two
// runs must not use one memory at the same time. It holds what the last run laid
// and nothing older. The zero Memory is empty and ready.
type Memory struct {
	mu        sync.Mutex
	last, now map[digest]*remembered // of the run before, and of the one under way
	outlines  map[string]*made       // what was made of the regions' outlines, by their names
	fresh     int
}

// Fresh says how many times the last run laid a region, all others being as
// remembered. A run in which edits by hand turn out not to apply may lay a region
// several times.
func (m *Memory) Fresh() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.fresh
}

// remembered is a region as it was laid. It does not change any more.
type remembered struct {
	id      string
	site    *site        // all that painting needs
	made    *made        // of its outline
	stands  []geom.Point // where what was set by hand stands
	colours digest       // that outcome was painted by
	outcome outcome
}

// begin makes ready for a run.
func (m *Memory) begin() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now, m.fresh = map[digest]*remembered{}, 0
	if m.outlines == nil {
		m.outlines = map[string]*made{}
	}
}

// end forgets what the run did not use. After one that was broken off, what it did
// not come to may serve the next.
func (m *Memory) end(whole bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if !whole {
		come := map[string]bool{}
		for _, r := range m.now {
			come[r.id] = true
		}
		for d, r := range m.last {
			if !come[r.id] {
				m.now[d] = r
			}
		}
	}
	m.last, m.now, m.outlines = m.now, nil, map[string]*made{}
	for _, r := range m.last {
		m.outlines[r.id] = r.made
	}
}

// find gives a region that was laid in this run or the one before; nil if there
// is none.
func (m *Memory) find(places digest) *remembered {
	m.mu.Lock()
	defer m.mu.Unlock()
	if r := m.now[places]; r != nil {
		return r
	}
	return m.last[places]
}

// made gives what was made of the outline of a region of that name; nil for nothing.
func (m *Memory) made(id string) *made {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.outlines[id]
}

// keep remembers a region.
func (m *Memory) keep(places digest, r *remembered, fresh bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.now[places] = r; fresh {
		m.fresh++
	}
	m.outlines[r.id] = r.made
}

// recall gives a region as it was laid before, in the memory of the request or among
// its repeats, or lays it; in its own colours in any case.
func (req Request) recall(ctx context.Context, t task) (*remembered, error) {
	var places digest
	var r *remembered
	if req.remembers() {
		places = t.places()
	}
	if req.Memory != nil {
		r = req.Memory.find(places)
	}
	fresh := false
	if r == nil {
		lay := func() (*remembered, error) {
			fresh = true
			return t.laid(ctx, req.Memory)
		}
		var err error
		if req.Repeats != nil && len(t.own) == 0 {
			r, err = req.Repeats.recall(ctx, places, lay)
		} else {
			r, err = lay()
		}
		if err != nil {
			return nil, err
		}
	}
	for i, f := range t.own {
		f.stands = r.stands[i]
	}
	if colours := t.colours(); r.colours != colours {
		s := *r.site
		s.Region = t.Region
		r = &remembered{t.ID, r.site, r.made, r.stands, colours, t.outcome(&s, r.outcome.did)}
	}
	if req.Memory != nil {
		req.Memory.keep(places, r, fresh)
	}
	return r, nil
}

// laid lays a region. Its outcome has no stones yet: it is to be painted.
func (t task) laid(ctx context.Context, m *Memory) (*remembered, error) {
	if m != nil {
		t.made = m.made(t.ID).again()
	}
	s, did, err := t.lay(ctx)
	if err != nil {
		return nil, err
	}
	if t.made != nil {
		t.made.last = nil // what was not needed goes
	}
	r := &remembered{site: s.painted(), made: t.made, outcome: outcome{did: slices.Clone(did)}}
	for _, f := range t.own {
		r.stands = append(r.stands, f.stands)
	}
	return r, nil
}

// painted gives what of a site painting needs, without what only laying needs.
func (s *site) painted() *site {
	return &site{
		pitch: s.pitch, pieces: s.pieces, rows: s.rows, bedFrom: s.bedFrom, levels: s.levels,
		accents: s.accents, mixed: s.mixed, filled: s.filled,
	}
}
