package web

import (
	"bytes"
	"context"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/bench"
	"brushfall/internal/catalogue"
	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/job"
	"brushfall/internal/shop"
)

// mostDesks bounds the designs whose layouts are kept in memory: as many as someone
// has windows open.
const mostDesks = 8

// desks are the designs that are worked on.
type desks struct {
	mu   sync.Mutex
	open map[string]*desk
	used []string // ids, the one used last at the end
}

// desk is a design that is worked on: what its last layout left for the next one.
type desk struct {
	mu     sync.Mutex
	under  map[string]*turn // the newest layout of each window
	busy   chan struct{}    // holds one while memory is in use
	memory job.Memory       // of live layouts
	final  job.Memory       // of final ones, so that neither makes the other forget
	parsed parsed
	shown  shown
}

// parsed is a job as it was read last, with what it was read from.
type parsed struct {
	object []byte
	files  []bench.File
	fits   fit.Book
	stones catalogue.Stones
	job    job.Job
}

// shown is the last layout of a saved revision.
type shown struct {
	revision int
	draft    job.Draft
	garment  string
}

// of gives the desk of a design.
func (d *desks) of(id string) *desk {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.open == nil {
		d.open = map[string]*desk{}
	}
	d.used = append(slices.DeleteFunc(d.used, func(o string) bool { return o == id }), id)
	if len(d.used) > mostDesks {
		delete(d.open, d.used[0])
		d.used = d.used[1:]
	}
	if d.open[id] == nil {
		d.open[id] = &desk{busy: make(chan struct{}, 1)}
	}
	return d.open[id]
}

// turn is a layout that is under way, or waits for the memory.
type turn struct{ cancel context.CancelFunc }

// newest makes way for a layout of a window: the one under way for the same window is
// given up, those of others are waited for, so that two windows do not end each
// other's for ever. The context ends when a newer one comes; done must be called.
func (d *desk) newest(ctx context.Context, window string) (context.Context, func(), error) {
	ctx, cancel := context.WithCancel(ctx)
	own := &turn{cancel}
	d.mu.Lock()
	if old := d.under[window]; old != nil {
		old.cancel()
	}
	if d.under == nil {
		d.under = map[string]*turn{}
	}
	d.under[window] = own
	d.mu.Unlock()
	leave := func() {
		cancel()
		d.mu.Lock()
		defer d.mu.Unlock()
		if d.under[window] == own {
			delete(d.under, window)
		}
	}
	free, err := d.wait(ctx)
	if err != nil {
		leave()
		return nil, nil, err
	}
	return ctx, func() { free(); leave() }, nil
}

// wait waits for the memory, without giving up what is under way.
func (d *desk) wait(ctx context.Context) (done func(), err error) {
	select {
	case d.busy <- struct{}{}:
		return func() { <-d.busy }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// read gives the job of an object with its files, which is read again only if it is
// another. The caller has the memory.
func (d *desk) read(ctx context.Context, s *Server, object []byte, files []bench.File) (job.Job, error) {
	fits, err := s.fits()
	if err != nil {
		return job.Job{}, err
	}
	stones, err := s.stones(ctx)
	if err != nil {
		return job.Job{}, err
	}
	p := &d.parsed
	if p.object != nil && bytes.Equal(p.object, object) && slices.Equal(p.files, files) && reflect.DeepEqual(p.fits, fits) && reflect.DeepEqual(p.stones, stones) {
		return p.job, nil
	}
	j, err := s.jobOf(stones, object, files)
	if err == nil {
		*p = parsed{slices.Clone(object), files, fits, stones, j}
	}
	return j, err
}

func (s *Server) fits() (fit.Book, error) {
	if s.opt.Fits == nil {
		return fit.Book{}, nil
	}
	return s.opt.Fits()
}

// stones gives the sizes and colours that can be named: the built-in ones, and those of
// the shop's book.
func (s *Server) stones(ctx context.Context) (catalogue.Stones, error) {
	colours, err := s.colours(ctx)
	return shop.StonesOf(colours), err
}

// colours gives all that the shop has, the built-in ones where it has no book.
func (s *Server) colours(ctx context.Context) ([]shop.Colour, error) {
	if s.opt.Shop == nil {
		return shop.BuiltInColours(), nil
	}
	b, err := s.opt.Shop(ctx, false)
	if err != nil || b == nil {
		return shop.BuiltInColours(), err
	}
	return b.Colours(ctx)
}

// jobName is what faults call the job of a design.
const jobName = "job"

// job reads a job object with the files that it names.
func (s *Server) job(ctx context.Context, object []byte, files []bench.File) (job.Job, error) {
	stones, err := s.stones(ctx)
	if err != nil {
		return job.Job{}, err
	}
	return s.jobOf(stones, object, files)
}

// jobOf is job with the stones at hand.
func (s *Server) jobOf(stones catalogue.Stones, object []byte, files []bench.File) (job.Job, error) {
	text, err := job.FromJSON(object)
	if err != nil {
		return job.Job{}, err
	}
	j, err := benchJob(stones, text)
	if err != nil {
		return j, err
	}
	return s.supplied(j, files)
}

// benchJob reads a job as the bench shows it: where it has fields of a list, as it is
// without one. Braces that are no fields, such as in the name of a drawing, stand as
// they are.
func benchJob(stones catalogue.Stones, text []byte) (job.Job, error) {
	t, unfielded := job.ParseTemplateWith(stones, jobName, text)
	var plain job.Job
	var err error
	if unfielded == nil {
		if plain, err = t.Plain(); err == nil {
			return plain, nil
		}
	}
	j, refused := job.ParseWith(stones, jobName, text)
	if refused != nil && unfielded == nil {
		return plain, err
	}
	return j, refused
}

// supplied gives a job all that it names.
func (s *Server) supplied(j job.Job, files []bench.File) (_ job.Job, err error) {
	if j.Fits, err = s.fits(); err != nil {
		return j, err
	}
	for _, name := range j.ArtworkFiles() {
		data, err := s.fileOf(files, name)
		if err != nil {
			return j, err
		}
		j = j.WithArtwork(name, data)
	}
	return j, s.readFaces(&j, files)
}

// fileOf gives a file of a design by its label.
func (s *Server) fileOf(files []bench.File, name string) ([]byte, error) {
	i := slices.IndexFunc(files, func(f bench.File) bool { return f.Name == name })
	if i < 0 {
		return nil, fault.New("artwork-missing", jobName, "the design has no file %q; drop the drawing on the bench first", name)
	}
	return s.opt.Bench.File(files[i])
}

// readFaces gives a job the faces that it names and that are not shipped: font files
// that came with the design, by their label, and those of the machine by their name.
func (s *Server) readFaces(j *job.Job, files []bench.File) error {
	for _, name := range j.FacesWanted() {
		var data []byte
		var err error
		file, _, isFile := lettering.FontFile(name)
		switch {
		case slices.ContainsFunc(files, func(f bench.File) bool { return f.Name == file }):
			data, err = s.fileOf(files, file)
		case !isFile && s.opt.Font != nil:
			data = s.opt.Font(name)
		}
		if err != nil {
			return err
		}
		if data == nil {
			_, err := lettering.Sheet{Faces: j.Faces}.Find(name)
			return err
		}
		f, err := lettering.ReadFace(name, data)
		if err != nil {
			return err
		}
		j.Faces = append(j.Faces, f)
	}
	return nil
}

func isDrawing(name string) bool {
	return slices.Contains([]string{".svg", ".dxf"}, strings.ToLower(path.Ext(name)))
}
