package main

import (
	"errors"
	"io"
	"sync"
	"syscall"
	"time"
)

// lineWait is how long one write may wait for the cutter before the sender looks
// again whether it is to stop.
const lineWait = 100 * time.Millisecond

// line is the way to a cutter as package send wants it: a write gives up waiting
// after lineWait. What it had begun goes on by itself, and the next write learns
// how much of it was taken.
type line struct {
	to    io.Writer
	most  int                    // bytes of one write
	ahead int                    // what the system may hold back
	ready func() bool            // whether the cutter lets us write; nil: it says so by taking nothing
	gone  <-chan error           // the other end went away; nil: cannot be told
	last  func() error           // waits for the end to have all; nil: it has
	shut  func(stuck bool) error // closes; stuck: the cutter takes nothing more

	busy chan taken
}

type taken struct {
	n   int
	err error
}

// Ahead is of send.Link.
func (l *line) Ahead() int { return l.ahead }

// Finish is of send.Link.
func (l *line) Finish() error {
	if l.last == nil {
		return nil
	}
	return l.last()
}

// Write is of send.Link.
func (l *line) Write(p []byte) (int, error) {
	select {
	case err := <-l.gone:
		return 0, err
	default:
	}
	if l.busy == nil {
		if l.ready != nil && !l.ready() {
			time.Sleep(lineWait)
			return 0, nil
		}
		l.begin(append([]byte(nil), p[:min(len(p), l.most)]...))
	}
	select {
	case t := <-l.busy:
		l.busy = nil
		if errors.Is(t.err, syscall.EINTR) || errors.Is(t.err, syscall.EAGAIN) {
			t.err = nil // nothing is wrong: the rest comes again
		}
		return t.n, t.err
	case err := <-l.gone:
		return 0, err
	case <-time.After(lineWait):
		return 0, nil
	}
}

func (l *line) begin(p []byte) {
	done := make(chan taken, 1)
	l.busy = done
	go func() {
		n, err := l.to.Write(p)
		done <- taken{n, err}
	}()
}

// flow is what a cutter says with XON and XOFF (control-Q and control-S of ASCII)
// while it is written to.
type flow struct {
	mu   sync.Mutex
	held bool
}

// The two characters, ISO/IEC 646: device controls 1 and 3.
const (
	xon  = 0x11
	xoff = 0x13
)

func (f *flow) hear(p []byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, b := range p {
		switch b {
		case xoff:
			f.held = true
		case xon:
			f.held = false
		}
	}
}

func (f *flow) open() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return !f.held
}
