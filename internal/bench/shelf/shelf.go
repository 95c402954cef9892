// Package shelf keeps the designs of the workbench in a folder: for each a journal
// that is only added to, and the files that came with it under their digests. What a
// method has returned from is on the disk and outlives the end of the program and
// of the power; a line that was cut off by either is passed over.
package shelf

import (
	"cmp"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/gofrs/flock"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
)

// Shelf keeps designs in a folder of the file system.
type Shelf struct {
	dir  string
	lock *flock.Flock
	disk disk

	mu      sync.Mutex
	designs map[string]*record
}

var _ bench.Keeper = (*Shelf)(nil)

// lockName is the file whose lock says that a program has the folder.
const lockName = "lock"

// Open opens the folder of a bench, which is made if it is not there, for this
// program alone. Faults: "bench-busy" if another program has it open, "bench-write",
// "disk-full".
func Open(dir string) (*Shelf, error) { return open(dir, system{}) }

func open(dir string, d disk) (*Shelf, error) {
	if err := os.MkdirAll(filepath.Join(dir, "designs"), 0o700); err != nil {
		return nil, failed(dir, err)
	}
	lock := flock.New(filepath.Join(dir, lockName))
	held, err := lock.TryLock()
	if err != nil {
		return nil, failed(dir, err)
	}
	if !held {
		return nil, fault.New("bench-busy", dir, "another program has this bench open; close it first")
	}
	f := &Shelf{dir: dir, lock: lock, disk: d, designs: map[string]*record{}}
	if err := f.load(); err != nil {
		_ = lock.Close()
		return nil, err
	}
	return f, nil
}

// Close lets go of the folder.
func (f *Shelf) Close() error { return f.lock.Close() }

// load reads the journals. A folder without any readable line is left alone: it is
// of a design whose beginning was cut off.
func (f *Shelf) load() error {
	entries, err := os.ReadDir(filepath.Join(f.dir, "designs"))
	if err != nil {
		return failed(f.dir, err)
	}
	for _, e := range entries {
		if !e.IsDir() || !isID(e.Name()) {
			continue
		}
		r, err := readRecord(f.path(e.Name()))
		if err != nil {
			return failed(f.path(e.Name()), err)
		}
		if r.history.Now() > 0 {
			f.designs[e.Name()] = r
		}
	}
	return nil
}

func (f *Shelf) path(id string) string { return filepath.Join(f.dir, "designs", id) }

// List is of bench.Keeper.
func (f *Shelf) List() ([]bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []bench.Design
	for id, r := range f.designs {
		if r.removed {
			continue
		}
		d, err := r.design(id)
		if err != nil {
			return nil, failed(f.path(id), err)
		}
		out = append(out, d)
	}
	slices.SortFunc(out, func(a, b bench.Design) int {
		return cmp.Or(b.Changed.Compare(a.Changed), strings.Compare(a.ID, b.ID))
	})
	return out, nil
}

// Design is of bench.Keeper.
func (f *Shelf) Design(id string) (bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.present(id)
}

func (f *Shelf) find(id string) (*record, error) {
	r := f.designs[id]
	if r == nil || r.removed {
		return nil, bench.Missing(id)
	}
	return r, nil
}

func (f *Shelf) present(id string) (bench.Design, error) {
	r, err := f.find(id)
	if err != nil {
		return bench.Design{}, err
	}
	d, err := r.design(id)
	if err != nil {
		return d, failed(f.path(id), err)
	}
	return d, nil
}

// Undo is of bench.Keeper.
func (f *Shelf) Undo(id string, at time.Time) (bench.Design, error) {
	return f.turn(id, line{Kind: kindUndo, At: at}, (*bench.History).Undo)
}

// Redo is of bench.Keeper.
func (f *Shelf) Redo(id string, at time.Time) (bench.Design, error) {
	return f.turn(id, line{Kind: kindRedo, At: at}, (*bench.History).Redo)
}

func (f *Shelf) turn(id string, l line, step func(*bench.History) bool) (bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	r, err := f.find(id)
	if err != nil {
		return bench.Design{}, err
	}
	if trial := r.history; !step(&trial) { // steps copy what they change
		return f.present(id)
	}
	if err := f.append(id, r, l); err != nil {
		return bench.Design{}, err
	}
	return f.present(id)
}

// Remove is of bench.Keeper.
func (f *Shelf) Remove(id string, at time.Time) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	r, err := f.find(id)
	if err != nil {
		return err
	}
	return f.append(id, r, line{Kind: kindRemove, At: at})
}

// Restore is of bench.Keeper.
func (f *Shelf) Restore(id string, at time.Time) (bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	r := f.designs[id]
	if r == nil {
		return bench.Design{}, bench.Missing(id)
	}
	if r.removed {
		if err := f.append(id, r, line{Kind: kindRestore, At: at}); err != nil {
			return bench.Design{}, err
		}
	}
	return f.present(id)
}

// failed gives the fault of a file operation.
func failed(path string, err error) error {
	if err == nil {
		return nil
	}
	for _, full := range []error{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG} {
		if errors.Is(err, full) {
			return fault.New("disk-full", path, "the disk is full, so nothing was saved and nothing is lost; make room and do it once more")
		}
	}
	return &fault.Error{Kind: fault.Internal, Code: "bench-write", Where: path, Message: "the bench's folder cannot be used: " + err.Error(), Cause: err}
}
