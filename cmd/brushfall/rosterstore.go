package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/gofrs/flock"

	"brushfall/internal/fault"
	"brushfall/internal/job"
)

// rosterStore keeps what a run has finished in its staging folder. A run that was
// killed finds it there again, by the folder that it is for, and goes on. Every file
// is written under another name first; the journal then says that it is there, with
// its digest. What the journal does not say, or what has another digest, is made anew.
type rosterStore struct {
	folder
	lock    *flock.Flock
	mutex   sync.Mutex
	journal *os.File
	parts   map[string][]journalFile
	wanted  map[string]bool // names of files of this run
}

// journalPart is a line of the journal.
type journalPart struct {
	Key   string        `json:"key"`
	Files []journalFile `json:"files"`
}

// journalFile is a file of a part, its name taken from the staging folder.
type journalFile struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// The parts of a staging folder.
const (
	storeWhole = "whole" // the files as they will stand in the folder
	storeParts = "parts"
)

// openStore opens the staging folder for a folder, or makes one. Faults: those of
// openFolder, and "out-busy" where another run writes into the same folder.
func openStore(dir string) (*rosterStore, error) {
	s := &rosterStore{folder: folder{dir: filepath.Clean(dir)}, parts: map[string][]journalFile{}, wanted: map[string]bool{}}
	at, err := nearest(s.dir)
	if err != nil {
		return nil, err
	}
	s.exists = at == s.dir
	full, err := filepath.Abs(s.dir)
	if err != nil {
		return nil, unwritable(s.dir, err)
	}
	sum := sha256.Sum256([]byte(full))
	name := ".brushfall-roster-" + hex.EncodeToString(sum[:6])
	s.staging = filepath.Join(at, name)
	// the folder may have been made since, by the last step of the run that was killed
	for above := at; ; above = filepath.Dir(above) {
		if isThere(filepath.Join(above, name)) {
			s.staging = filepath.Join(above, name)
			break
		}
		if above == filepath.Dir(above) {
			break
		}
	}
	for _, part := range []string{storeWhole, storeParts} {
		if err := os.MkdirAll(filepath.Join(s.staging, part), 0o777); err != nil {
			return nil, unwritable(at, err)
		}
	}
	s.lock = flock.New(filepath.Join(s.staging, "lock"))
	if ok, err := s.lock.TryLock(); err != nil || !ok {
		return nil, fault.New("out-busy", s.dir, "another run is making this folder; wait until it ends, or name another folder after -o")
	}
	if err := s.openJournal(); err != nil {
		s.close()
		return nil, unwritable(at, err)
	}
	return s, nil
}

// openJournal reads the journal, but for a line that was not written to its end.
func (s *rosterStore) openJournal() error {
	path := filepath.Join(s.staging, "journal")
	text, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	for line := range bytes.Lines(text) {
		var p journalPart
		if json.Unmarshal(line, &p) == nil && p.Key != "" {
			s.parts[p.Key] = p.Files
		}
	}
	if s.journal, err = os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o666); err != nil {
		return err
	}
	if len(text) > 0 && !bytes.HasSuffix(text, []byte("\n")) {
		_, err = s.journal.WriteString("\n")
	}
	return err
}

// close lets go of the staging folder and leaves it for the next run.
func (s *rosterStore) close() {
	if s.journal != nil {
		s.journal.Close()
	}
	s.lock.Unlock()
}

// discard removes the staging folder.
func (s *rosterStore) discard() {
	s.close()
	s.folder.discard()
}

// files gives what the journal says of a part.
func (s *rosterStore) files(key string) ([]journalFile, bool) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	list, ok := s.parts[key]
	return list, ok
}

// read reads a file of a part, if it is there and what it was.
func (s *rosterStore) read(f journalFile) ([]byte, bool) {
	data, err := os.ReadFile(filepath.Join(s.staging, filepath.FromSlash(f.Name)))
	return data, err == nil && digestOf(data) == f.SHA256
}

func digestOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Get is job.Store's.
func (s *rosterStore) Get(key string) ([]byte, bool) {
	list, ok := s.files(key)
	if !ok || len(list) != 1 {
		return nil, false
	}
	return s.read(list[0])
}

// Put is job.Store's.
func (s *rosterStore) Put(key string, data []byte) error {
	return s.put(key, storeParts, []job.File{{Name: key, Data: data}})
}

// Done is job.Store's.
func (s *rosterStore) Done(key string) bool {
	list, ok := s.files(key)
	if !ok {
		return false
	}
	for _, f := range list {
		if _, ok := s.read(f); !ok {
			return false
		}
	}
	s.want(list)
	return true
}

// Write is job.Store's.
func (s *rosterStore) Write(key string, files []job.File) error {
	return s.put(key, storeWhole, files)
}

// want keeps files for the folder.
func (s *rosterStore) want(list []journalFile) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, f := range list {
		s.wanted[f.Name] = true
	}
}

// put writes the files of a part, each in one step, and then says so in the journal.
func (s *rosterStore) put(key, where string, files []job.File) error {
	p := journalPart{Key: key}
	for _, f := range files {
		name := where + "/" + f.Name
		at := filepath.Join(s.staging, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			return unwritable(s.dir, err)
		}
		draft := at + ".part"
		if err := os.Remove(draft); err != nil && !os.IsNotExist(err) {
			return unwritable(s.dir, err)
		}
		if err := writeFile(draft, f.Data); err != nil {
			return unwritable(s.dir, err)
		}
		if err := os.Rename(draft, at); err != nil {
			return unwritable(s.dir, err)
		}
		p.Files = append(p.Files, journalFile{name, digestOf(f.Data)})
	}
	line, err := json.Marshal(p)
	if err != nil {
		return fault.Wrap("journal", err)
	}
	if where == storeWhole {
		s.want(p.Files)
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.parts[key] = p.Files
	if _, err := s.journal.Write(append(line, '\n')); err != nil {
		return unwritable(s.dir, err)
	}
	return nil
}

// finish puts the files of this run in their place, and nothing that an earlier run
// left in the staging folder. It gives their names.
func (s *rosterStore) finish(ctx context.Context) ([]string, error) {
	whole := filepath.Join(s.staging, storeWhole)
	var files []job.File
	var names []string
	err := filepath.WalkDir(whole, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(whole, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if !s.wanted[storeWhole+"/"+name] {
			return os.Remove(path)
		}
		files, names = append(files, job.File{Name: name}), append(names, name)
		return ctx.Err()
	})
	if err == nil {
		err = removeEmpty(whole)
	}
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, unwritable(s.dir, err)
	}
	if !s.exists {
		return names, s.appear(whole)
	}
	return names, s.replace(whole, files)
}

// removeEmpty removes the folders directly within one that have nothing in them.
func removeEmpty(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		if inside, err := os.ReadDir(path); e.IsDir() && err == nil && len(inside) == 0 {
			if err := os.Remove(path); err != nil {
				return err
			}
		}
	}
	return nil
}

// programDigest tells this build of the program from every other: what one has kept
// is not for another to go on with.
func programDigest() string {
	path, err := os.Executable()
	if err != nil {
		return version()
	}
	f, err := os.Open(path)
	if err != nil {
		return version()
	}
	defer f.Close()
	h := sha256.New()
	if _, err := bufio.NewReader(f).WriteTo(h); err != nil {
		return version()
	}
	return hex.EncodeToString(h.Sum(nil))
}

// sortedNames gives names in a stable order.
func sortedNames(names []string) []string {
	slices.Sort(names)
	return names
}
