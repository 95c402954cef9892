package send

import (
	"context"
	"sort"

	"brushfall/internal/fault"
)

// Link is the way to a cutter.
type Link interface {
	// Write hands over the front of p, as much as the cutter takes within a short
	// while, the link's own, and gives how much that was: 0 without an error while
	// the cutter lets it wait. After a short count the next call brings the rest
	// of p.
	Write(p []byte) (n int, err error)
	// Ahead bounds what may have been written and not have reached the cutter's
	// end of the line yet, in bytes.
	Ahead() int
	// Finish waits, not for ever, until all that was written has reached the
	// cutter's end of the line, and gives an error where that end went away before.
	Finish() error
}

// Defaults of Options.
const (
	DefaultBlock    = 512 // a hole or two: so far the blade goes on after a stop
	DefaultPatience = 30
)

// Options are the choices of Send. Block is the longest piece in bytes, 0 for
// DefaultBlock. Patience is how many times in a row the link may take nothing
// once the sending is to stop, 0 for DefaultPatience; before that it may wait as
// long as it likes. Progress, which may be nil, hears after each write how many
// bytes of how many are written, and which plate of the stream is under way,
// from 0.
type Options struct {
	Block, Patience int
	Progress        func(written, total, plate int)
}

// Outcome says how far a sending came. Written of Total bytes were handed over;
// the plates up to, not including, Next have reached the cutter's end for sure.
// Up says whether the blade is up and home, as far as what was sent can say.
type Outcome struct {
	Written, Total int
	Next           int
	Up             bool
}

// Stop lifts the blade and sends it home: PU without coordinates lifts it where
// it is; PA makes the coordinates absolute whatever came before (HP 7475A manual).
const Stop = "PU;PA0,0;\n"

// Send streams the plates of s from the given one on. When the context ends, it
// ends the piece under way and sends Stop; it then gives the context's error. A
// link that fails gives the fault "send-broken", around the link's own error; one
// that takes no more bytes at a stop gives "send-stuck". The outcome is right in
// every case.
func Send(ctx context.Context, to Link, s Stream, from int, opt Options) (Outcome, error) {
	if opt.Block <= 0 {
		opt.Block = DefaultBlock
	}
	if opt.Patience <= 0 {
		opt.Patience = DefaultPatience
	}
	text, ends := s.From(from)
	r := &run{ctx: ctx, to: to, opt: opt, ends: ends, from: from}
	r.out = Outcome{Total: len(text), Next: from, Up: true}
	for _, piece := range pieces(text, opt.Block) {
		if err := ctx.Err(); err != nil {
			return r.stop(err)
		}
		if err := r.write(piece, true); err != nil {
			return r.out, err
		}
		r.within = piece[len(piece)-1] != ';' && piece[len(piece)-1] != '\n'
	}
	r.out.Up = true
	if err := to.Finish(); err != nil {
		return r.out, broken(err)
	}
	r.out.Next = s.Plates()
	return r.out, nil
}

// run is one sending. within says whether the last piece ended within a command.
type run struct {
	ctx    context.Context
	to     Link
	opt    Options
	ends   []int
	from   int
	within bool
	out    Outcome
}

// write hands over a whole piece; counted pieces are of the stream.
func (r *run) write(piece []byte, counted bool) error {
	idle := 0
	for len(piece) > 0 {
		n, err := r.to.Write(piece)
		piece = piece[n:]
		if counted {
			r.count(n)
		}
		if err != nil {
			return broken(err)
		}
		if idle++; n > 0 {
			idle = 0
		}
		if idle >= r.opt.Patience && r.ctx.Err() != nil {
			return fault.New("send-stuck", "", "the cutter takes nothing more: stop it at the machine and raise the blade there")
		}
	}
	return nil
}

func broken(err error) error {
	return &fault.Error{Kind: fault.Input, Code: "send-broken", Message: "the connection to the cutter broke: " + err.Error(), Cause: err}
}

func (r *run) count(n int) {
	r.out.Written += n
	r.out.Up = r.out.Written == 0
	sure := r.out.Written - r.to.Ahead()
	r.out.Next = r.from + sort.Search(len(r.ends), func(i int) bool { return r.ends[i] > sure })
	if r.opt.Progress != nil {
		under := sort.Search(len(r.ends), func(i int) bool { return r.ends[i] > r.out.Written })
		r.opt.Progress(r.out.Written, r.out.Total, r.from+min(under, len(r.ends)-1))
	}
}

// stop ends the sending with the blade up and home. Before the first byte there
// is nothing to lift.
func (r *run) stop(why error) (Outcome, error) {
	if r.out.Written == 0 {
		return r.out, why
	}
	text := Stop
	if r.within {
		text = ";" + text
	}
	if err := r.write([]byte(text), false); err != nil {
		return r.out, err
	}
	r.out.Up = true
	return r.out, why
}
