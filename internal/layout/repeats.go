package layout

import (
	"context"
	"sync"
)

// Repeats keeps regions that were laid for those of other designs that are the same
// but for their place, as the letters of many names are. It changes no layout: each
// region is laid in a frame of its own, with all that it depends on, and comes out the
// same there. It serves any number of runs at a time. The zero Repeats is empty and
// ready.
type Repeats struct {
	mu     sync.Mutex
	kept   map[digest]*repeat
	stones int
}

// mostRepeated bounds the stones of the regions that are kept: about 100 MB.
const mostRepeated = 1_000_000

// repeat is a region that is laid, or being laid.
type repeat struct {
	done chan struct{}
	laid *remembered // nil if laying it was broken off
}

// recall gives a region that was laid, or lays it; those who ask for one that is just
// being laid wait for it.
func (r *Repeats) recall(ctx context.Context, places digest, lay func() (*remembered, error)) (*remembered, error) {
	for {
		r.mu.Lock()
		if r.kept == nil {
			r.kept = map[digest]*repeat{}
		}
		k, known := r.kept[places]
		if !known {
			k = &repeat{done: make(chan struct{})}
			r.kept[places] = k
			r.mu.Unlock()
			return r.fill(places, k, lay)
		}
		r.mu.Unlock()
		select {
		case <-k.done:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		if k.laid != nil {
			return k.laid, nil
		}
	}
}

// fill lays a region and keeps it, unless there is no room.
func (r *Repeats) fill(places digest, k *repeat, lay func() (*remembered, error)) (*remembered, error) {
	laid, err := lay()
	r.mu.Lock()
	defer r.mu.Unlock()
	if k.laid = laid; err != nil || r.stones+len(laid.site.pieces) > mostRepeated {
		delete(r.kept, places)
	} else {
		r.stones += len(laid.site.pieces)
	}
	close(k.done)
	return laid, err
}
