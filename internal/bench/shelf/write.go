package shelf

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"brushfall/internal/bench"
)

// disk is how files are written, so that a test can fill it.
type disk interface {
	// append puts text at the end of a file that has size whole bytes, and has it on
	// the disk when it returns; on an error the file has its size again.
	append(path string, size int64, text []byte) error
	// put writes a file whole, or not at all.
	put(path string, data []byte) error
}

// system is the disk of the operating system.
type system struct{}

func (system) append(path string, size int64, text []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return appendTo(file, size, text)
}

// journal is what is used of a file that is added to.
type journal interface {
	Truncate(size int64) error
	WriteAt(p []byte, off int64) (int, error)
	Sync() error
	Close() error
}

func appendTo(file journal, size int64, text []byte) error {
	err := file.Truncate(size) // a line that was cut off before
	if err == nil {
		if _, err = file.WriteAt(text, size); err == nil {
			err = file.Sync()
		}
		if err != nil {
			err = errors.Join(err, file.Truncate(size))
		}
	}
	return errors.Join(err, file.Close())
}

func (system) put(path string, data []byte) error {
	dir := filepath.Dir(path)
	file, err := os.CreateTemp(dir, ".new-")
	if err != nil {
		return err
	}
	defer os.Remove(file.Name()) // of no effect once it has its name
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	if err = errors.Join(err, file.Close()); err != nil {
		return err
	}
	if err := os.Rename(file.Name(), path); err != nil {
		return err
	}
	return syncFolder(dir)
}

// syncFolder has the names in a folder on the disk. Systems that cannot do so for a
// folder keep names safe by themselves.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, fs.ErrPermission) {
		return errors.Join(err, d.Close())
	}
	return d.Close()
}

// idForm is an id: 16 small hexadecimal digits.
var idForm = regexp.MustCompile(`^[0-9a-f]{16}$`)

func isID(name string) bool { return idForm.MatchString(name) }

func newID() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails, says the package
	return hex.EncodeToString(b[:])
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// New is of bench.Keeper.
func (f *Shelf) New(c bench.Change, at time.Time) (bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	id := newID()
	dir := f.path(id)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return bench.Design{}, failed(dir, err)
	}
	d, err := f.change(id, &record{path: filepath.Join(dir, journalName)}, nil, c, at)
	if err != nil {
		_ = os.RemoveAll(dir) // nothing of it was told to anyone
		return bench.Design{}, err
	}
	for _, dir := range []string{dir, filepath.Dir(dir)} {
		if err := syncFolder(dir); err != nil {
			return d, failed(dir, err)
		}
	}
	return d, nil
}

// Change is of bench.Keeper.
func (f *Shelf) Change(id string, after int, c bench.Change, at time.Time) (bench.Design, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	now, err := f.present(id)
	if err != nil {
		return bench.Design{}, err
	}
	if now.Now != after {
		return bench.Design{}, bench.Stale(id, now.Now)
	}
	if c.Job == nil {
		c.Job = now.Job
	}
	return f.change(id, f.designs[id], now.Files, c, at)
}

// change keeps the files and then the revision that names them.
func (f *Shelf) change(id string, r *record, files []bench.File, c bench.Change, at time.Time) (bench.Design, error) {
	for _, u := range c.Add {
		path := f.blob(digest(u.Data))
		if _, err := os.Stat(path); err == nil {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return bench.Design{}, failed(path, err)
		}
		if err := f.disk.put(path, u.Data); err != nil {
			return bench.Design{}, failed(path, err)
		}
	}
	if err := f.append(id, r, line{Kind: kindMade, At: at, Job: c.Job, Files: applied(files, c)}); err != nil {
		return bench.Design{}, err
	}
	d, err := r.design(id)
	if err != nil {
		return d, failed(r.path, err)
	}
	return d, nil
}

// blob gives the path of a file that came with a design. All designs share them.
func (f *Shelf) blob(digest string) string { return filepath.Join(f.dir, "files", digest) }

var digestForm = regexp.MustCompile(`^[0-9a-f]{64}$`)

// File is of bench.Keeper.
func (f *Shelf) File(file bench.File) ([]byte, error) {
	if !digestForm.MatchString(file.Digest) {
		return nil, failed(f.dir, fs.ErrInvalid)
	}
	data, err := os.ReadFile(f.blob(file.Digest))
	if err == nil && digest(data) != file.Digest {
		err = errors.New("the file is damaged: its digest is another")
	}
	if err != nil {
		return nil, failed(f.blob(file.Digest), err)
	}
	return data, nil
}

// noteForm is the name of something remembered.
var noteForm = regexp.MustCompile(`^[a-z]+(\.[a-z]+)?$`)

// Remember is of bench.Keeper.
func (f *Shelf) Remember(id, name string, data []byte) {
	if isID(id) && noteForm.MatchString(name) && name != journalName {
		_ = f.disk.put(filepath.Join(f.path(id), name), data) // it can be made again
	}
}

// Recall is of bench.Keeper.
func (f *Shelf) Recall(id, name string) []byte {
	if !isID(id) || !noteForm.MatchString(name) || name == journalName {
		return nil
	}
	data, err := os.ReadFile(filepath.Join(f.path(id), name))
	if err != nil {
		return nil
	}
	return data
}
