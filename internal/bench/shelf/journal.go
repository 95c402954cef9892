package shelf

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"brushfall/internal/bench"
)

// journalName is the file of a design that is only added to.
const journalName = "journal"

// The kinds of lines.
const (
	kindMade    = "made"
	kindUndo    = "undo"
	kindRedo    = "redo"
	kindRemove  = "remove"
	kindRestore = "restore"
)

// line is what one line of a journal says. It stands behind the CRC-32 (IEEE) of its
// JSON in eight hexadecimal digits and a blank. Job and Files are of a revision that
// was made, whole, so that each line is understood without those before it.
type line struct {
	Kind  string          `json:"kind"`
	At    time.Time       `json:"at"`
	Job   json.RawMessage `json:"job,omitempty"`
	Files []bench.File    `json:"files,omitempty"`
}

// encode gives a line as it is written.
func (l line) encode() ([]byte, error) {
	text, err := json.Marshal(l)
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "%08x %s\n", crc32.ChecksumIEEE(text), text), nil
}

// decode reads a line without its end; false for one that is damaged.
func decode(text []byte) (line, bool) {
	var l line
	if len(text) < 10 || text[8] != ' ' || string(text[:8]) != fmt.Sprintf("%08x", crc32.ChecksumIEEE(text[9:])) {
		return l, false
	}
	return l, json.Unmarshal(text[9:], &l) == nil
}

// record is a design as its journal has it. Jobs stay on the disk, but for where
// they are.
type record struct {
	path    string
	size    int64 // of the journal's whole lines
	history bench.History
	made    []span // of each revision
	changed time.Time
	removed bool
}

// span is where a line lies in the journal.
type span struct{ at, length int64 }

// readRecord reads a journal; an empty record where there is none. A last line that
// is not whole is cut off by the next one that is added.
func readRecord(dir string) (*record, error) {
	r := &record{path: filepath.Join(dir, journalName)}
	text, err := os.ReadFile(r.path)
	if errors.Is(err, fs.ErrNotExist) {
		return r, nil
	}
	if err != nil {
		return nil, err
	}
	for {
		end := bytes.IndexByte(text[r.size:], '\n')
		if end < 0 {
			return r, nil
		}
		at := r.size
		r.size += int64(end) + 1
		if l, ok := decode(text[at : r.size-1]); ok {
			r.take(l, span{at, int64(end)})
		}
	}
}

// take brings the record forward by a line.
func (r *record) take(l line, at span) {
	switch l.Kind {
	case kindMade:
		r.history.Add()
		r.made = append(r.made, at)
	case kindUndo:
		r.history.Undo()
	case kindRedo:
		r.history.Redo()
	case kindRemove:
		r.removed = true
	case kindRestore:
		r.removed = false
	}
	r.changed = l.At
}

// design reads the present revision.
func (r *record) design(id string) (bench.Design, error) {
	first, last := r.history.Bounds()
	d := bench.Design{ID: id, Changed: r.changed, Now: r.history.Now(), First: first, Last: last}
	file, err := os.Open(r.path)
	if err != nil {
		return d, err
	}
	defer file.Close()
	at := r.made[d.Now-1]
	text, err := io.ReadAll(io.NewSectionReader(file, at.at, at.length))
	if err != nil {
		return d, err
	}
	l, ok := decode(text)
	if !ok {
		return d, fmt.Errorf("revision %d is damaged", d.Now)
	}
	d.Job, d.Files = l.Job, l.Files
	return d, nil
}

// append writes a line behind the others and takes it in. A line that could not be
// written whole is cut off again.
func (f *Shelf) append(id string, r *record, l line) error {
	text, err := l.encode()
	if err != nil {
		return failed(r.path, err)
	}
	if err := f.disk.append(r.path, r.size, text); err != nil {
		return failed(r.path, err)
	}
	r.take(l, span{r.size, int64(len(text)) - 1})
	r.size += int64(len(text))
	f.designs[id] = r
	return nil
}

// applied gives the files of a revision after a change.
func applied(files []bench.File, c bench.Change) []bench.File {
	out := slices.DeleteFunc(slices.Clone(files), func(f bench.File) bool { return slices.Contains(c.Without, f.Name) })
	for _, u := range c.Add {
		f := bench.File{Name: u.Name, Digest: digest(u.Data), Bytes: int64(len(u.Data))}
		if i := slices.IndexFunc(out, func(o bench.File) bool { return o.Name == u.Name }); i >= 0 {
			out[i] = f
		} else {
			out = append(out, f)
		}
	}
	return out
}
