package web

import (
	"bytes"
	"testing"
	"time"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
)

// fullDisk is a keeper whose disk is full from a moment on.
type fullDisk struct {
	bench.Keeper
	full bool
}

func (f *fullDisk) told() error {
	if f.full {
		return fault.New("disk-full", "/bench", "the disk is full; make room")
	}
	return nil
}

func (f *fullDisk) New(c bench.Change, at time.Time) (bench.Design, error) {
	if err := f.told(); err != nil {
		return bench.Design{}, err
	}
	return f.Keeper.New(c, at)
}

func (f *fullDisk) Change(id string, after int, c bench.Change, at time.Time) (bench.Design, error) {
	if err := f.told(); err != nil {
		return bench.Design{}, err
	}
	return f.Keeper.Change(id, after, c, at)
}

// On a full disk whatever would save something says so, and the page goes on with
// what it has: looking, laying out and downloading still work.
func TestFullDiskIsTold(t *testing.T) {
	disk := &fullDisk{}
	w := openWindow(t, func(o *Options) {
		disk.Keeper = o.Bench
		o.Bench = disk
	})
	d := w.disc()
	disk.full = true
	w.put(d, map[string]any{"gap": "1 mm"}).fails(507, "disk-full")
	w.drop("/api/designs", "more.svg", []byte(plain)).fails(507, "disk-full")
	w.drop("/api/designs/"+d.ID+"/drawings", "more.svg", []byte(plain)).fails(507, "disk-full")
	now := read[designBody](w.send("GET", "/api/designs/"+d.ID, nil).is(200))
	if now.Revision != 1 || !bytes.Equal(now.Job, d.Job) || len(now.Drawings) != 1 {
		t.Errorf("the design is %+v", now)
	}
	w.send("POST", "/api/designs/"+d.ID+"/layout", map[string]any{}).is(200)
	disk.full = false
	w.put(d, map[string]any{"gap": "1 mm"}).is(200)
}
