package shelf

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"syscall"
	"testing"
	"time"

	"brushfall/internal/bench"
	"brushfall/internal/fault"
)

var noon = time.Date(2026, time.June, 1, 12, 0, 0, 0, time.UTC)

func job(n int) []byte { return fmt.Appendf(nil, `{"design":"d%d"}`, n) }

func opened(t *testing.T, dir string) *Shelf {
	t.Helper()
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

// again closes the shelf and opens it as the next start of the program does.
func again(t *testing.T, s *Shelf) *Shelf {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return opened(t, s.dir)
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestDesignsOutliveARestart(t *testing.T) {
	s := opened(t, t.TempDir())
	d := must[bench.Design](t)
	a := d(s.New(bench.Change{Job: job(1), Add: []bench.Upload{{Name: "a.svg", Data: []byte("one")}}}, noon))
	b := d(s.New(bench.Change{Job: job(2)}, noon.Add(time.Hour)))
	c := d(s.New(bench.Change{Job: job(3)}, noon.Add(2*time.Hour)))
	d(s.Change(a.ID, 1, bench.Change{Job: job(4), Add: []bench.Upload{{Name: "a.svg", Data: []byte("two")}, {Name: "b.svg", Data: []byte("b")}}}, noon.Add(3*time.Hour)))
	d(s.Change(a.ID, 2, bench.Change{Job: job(5), Without: []string{"b.svg"}}, noon.Add(4*time.Hour)))
	d(s.Undo(a.ID, noon.Add(5*time.Hour)))
	if err := s.Remove(b.ID, noon.Add(6*time.Hour)); err != nil {
		t.Fatal(err)
	}
	s.Remember(a.ID, "small.png", []byte("picture"))
	want := must[[]bench.Design](t)(s.List())
	s = again(t, s)
	got := must[[]bench.Design](t)(s.List())
	if !reflect.DeepEqual(got, want) || len(got) != 2 || got[0].ID != a.ID || got[1].ID != c.ID {
		t.Fatalf("after a restart the list is %+v, before %+v", got, want)
	}
	if got[0].Now != 2 || got[0].First != 1 || got[0].Last != 3 || !bytes.Equal(got[0].Job, job(4)) || len(got[0].Files) != 2 {
		t.Errorf("the design is %+v", got[0])
	}
	if data := must[[]byte](t)(s.File(got[0].Files[0])); string(data) != "two" {
		t.Errorf("the drawing is %q", data)
	}
	if r := d(s.Redo(a.ID, noon)); len(r.Files) != 1 || r.Now != 3 {
		t.Errorf("done again it is %+v", r)
	}
	if _, err := s.Design(b.ID); fault.CodeOf(err) != "design-missing" {
		t.Errorf("a removed design gives %v", err)
	}
	if r := d(s.Restore(b.ID, noon)); !bytes.Equal(r.Job, job(2)) {
		t.Errorf("restored it is %+v", r)
	}
	if string(s.Recall(a.ID, "small.png")) != "picture" || s.Recall(a.ID, "journal") != nil || s.Recall("../"+a.ID, "small.png") != nil {
		t.Error("what is remembered is wrong")
	}
}

func TestOneProgramAtATime(t *testing.T) {
	s := opened(t, t.TempDir())
	if _, err := Open(s.dir); fault.CodeOf(err) != "bench-busy" {
		t.Errorf("a second program gets %v", err)
	}
}

func TestStaleChange(t *testing.T) {
	s := opened(t, t.TempDir())
	a := must[bench.Design](t)(s.New(bench.Change{Job: job(1)}, noon))
	must[bench.Design](t)(s.Change(a.ID, 1, bench.Change{Job: job(2)}, noon))
	_, err := s.Change(a.ID, 1, bench.Change{Job: job(3)}, noon)
	if now := must[bench.Design](t)(s.Design(a.ID)); fault.CodeOf(err) != "design-revision" || !bytes.Equal(now.Job, job(2)) {
		t.Errorf("a change of an old revision gives %v and %s", err, now.Job)
	}
	if _, err := s.Change("0123456789abcdef", 1, bench.Change{Job: job(3)}, noon); fault.CodeOf(err) != "design-missing" {
		t.Errorf("a change of no design gives %v", err)
	}
}

// A program that is killed while it writes leaves its journal cut off at any byte, or
// with bytes that never reached the disk: the design is as it was at the last line
// that is whole, and goes on from there.
func TestJournalCutOffAnywhere(t *testing.T) {
	s := opened(t, t.TempDir())
	a := must[bench.Design](t)(s.New(bench.Change{Job: job(1)}, noon))
	var ends []int
	path := filepath.Join(s.path(a.ID), journalName)
	for n := 2; n <= 5; n++ {
		ends = append(ends, int(s.designs[a.ID].size))
		must[bench.Design](t)(s.Change(a.ID, n-1, bench.Change{Job: job(n)}, noon))
	}
	whole := must[[]byte](t)(os.ReadFile(path))
	for _, blank := range []bool{false, true} {
		for cut := ends[0]; cut < len(whole); cut++ {
			text := bytes.Clone(whole[:cut])
			if blank { // the length reached the disk, the bytes did not
				text = append(text, make([]byte, len(whole)-cut)...)
			}
			if err := os.WriteFile(path, text, 0o600); err != nil {
				t.Fatal(err)
			}
			want := 0
			for _, end := range append(ends, len(whole)) {
				if end <= cut {
					want++
				}
			}
			s = again(t, s)
			d := must[bench.Design](t)(s.Design(a.ID))
			if d.Now != want || !bytes.Equal(d.Job, job(want)) {
				t.Fatalf("cut at %d it is at %d: %s, want %d", cut, d.Now, d.Job, want)
			}
			must[bench.Design](t)(s.Change(a.ID, want, bench.Change{Job: job(9)}, noon))
			s = again(t, s)
			if d := must[bench.Design](t)(s.Design(a.ID)); !bytes.Equal(d.Job, job(9)) {
				t.Fatalf("cut at %d, the next change is lost: %s", cut, d.Job)
			}
		}
	}
}

// A line that was damaged later takes only itself with it.
func TestDamagedLine(t *testing.T) {
	s := opened(t, t.TempDir())
	a := must[bench.Design](t)(s.New(bench.Change{Job: job(1)}, noon))
	at := s.designs[a.ID].size
	must[bench.Design](t)(s.Change(a.ID, 1, bench.Change{Job: job(2)}, noon))
	must[bench.Design](t)(s.Change(a.ID, 2, bench.Change{Job: job(3)}, noon))
	path := filepath.Join(s.path(a.ID), journalName)
	text := must[[]byte](t)(os.ReadFile(path))
	text[at+20] ^= 1
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	s = again(t, s)
	if d := must[bench.Design](t)(s.Design(a.ID)); !bytes.Equal(d.Job, job(3)) {
		t.Errorf("the design is %s", d.Job)
	}
}

// full is a disk that takes so many bytes and then no more.
type full struct {
	system
	left int
}

// halfway writes what there is room for.
type halfway struct {
	journal
	disk *full
}

func (h halfway) WriteAt(p []byte, off int64) (int, error) {
	n := min(len(p), h.disk.left)
	h.disk.left -= n
	if m, err := h.journal.WriteAt(p[:n], off); err != nil {
		return m, err
	}
	if n < len(p) {
		return n, &os.PathError{Op: "write", Path: "journal", Err: syscall.ENOSPC}
	}
	return n, nil
}

func (f *full) append(path string, size int64, text []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return appendTo(halfway{file, f}, size, text)
}

func (f *full) put(path string, data []byte) error {
	if len(data) > f.left {
		return &os.PathError{Op: "write", Path: path, Err: syscall.ENOSPC}
	}
	f.left -= len(data)
	return f.system.put(path, data)
}

// On a full disk nothing is saved and nothing lost, at whatever byte it is full; with
// room again the work goes on.
func TestFullDisk(t *testing.T) {
	for room := 0; room < 700; room += 7 {
		d := &full{left: room}
		dir := t.TempDir()
		s, err := open(dir, d)
		if err != nil {
			t.Fatal(err)
		}
		var last bench.Design
		var told error
		for n := 1; n < 20 && told == nil; n++ {
			var now bench.Design
			c := bench.Change{Job: job(n), Add: []bench.Upload{{Name: "a.svg", Data: fmt.Appendf(nil, "drawing %d", n)}}}
			if n == 1 {
				now, told = s.New(c, noon)
			} else {
				now, told = s.Change(last.ID, last.Now, c, noon)
			}
			if told == nil {
				last = now
			}
		}
		if fault.CodeOf(told) != "disk-full" {
			t.Fatalf("with room for %d bytes: %v", room, told)
		}
		d.left = 1 << 20
		s = again(t, s)
		list := must[[]bench.Design](t)(s.List())
		if last.ID == "" {
			if len(list) != 0 {
				t.Errorf("with room for %d bytes half a design is there", room)
			}
			continue
		}
		if len(list) != 1 || !reflect.DeepEqual(list[0], last) {
			t.Fatalf("with room for %d bytes there is %+v, saved was %+v", room, list, last)
		}
		must[[]byte](t)(s.File(list[0].Files[0]))
		must[bench.Design](t)(s.Change(last.ID, last.Now, bench.Change{Job: job(50)}, noon))
	}
}

func TestDamagedFile(t *testing.T) {
	s := opened(t, t.TempDir())
	a := must[bench.Design](t)(s.New(bench.Change{Job: job(1), Add: []bench.Upload{{Name: "a.svg", Data: []byte("one")}}}, noon))
	if err := os.WriteFile(s.blob(a.Files[0].Digest), []byte("two"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := s.File(a.Files[0]); fault.CodeOf(err) != "bench-write" {
		t.Errorf("another content gives %v", err)
	}
	if _, err := s.File(bench.File{Digest: "../../etc/passwd"}); err == nil {
		t.Error("a path is a digest")
	}
}

func FuzzJournal(f *testing.F) {
	text, _ := line{Kind: kindMade, At: noon, Job: job(1)}.encode()
	f.Add(text)
	f.Add(append(bytes.Clone(text), "garbage\n"...))
	f.Fuzz(func(t *testing.T, text []byte) {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, journalName), text, 0o600); err != nil {
			t.Fatal(err)
		}
		r, err := readRecord(dir)
		if err != nil {
			t.Fatal(err)
		}
		if r.size > int64(len(text)) {
			t.Fatalf("%d bytes are whole of %d", r.size, len(text))
		}
		if r.history.Now() > 0 {
			if _, err := r.design("x"); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// Many windows at once: every change is there, each behind the one it was made from.
func TestManyAtOnce(t *testing.T) {
	s := opened(t, t.TempDir())
	a := must[bench.Design](t)(s.New(bench.Change{Job: job(0)}, noon))
	const windows, changes = 4, 10
	done := make(chan error, windows)
	for range windows {
		go func() {
			for range changes {
				for {
					d, err := s.Design(a.ID)
					if err == nil {
						_, err = s.Change(a.ID, d.Now, bench.Change{Job: job(rand.IntN(1000))}, noon)
					}
					if err == nil {
						break
					}
					if fault.CodeOf(err) != "design-revision" {
						done <- err
						return
					}
				}
			}
			done <- nil
		}()
	}
	var all error
	for range windows {
		all = errors.Join(all, <-done)
	}
	if d := must[bench.Design](t)(s.Design(a.ID)); all != nil || d.Now != 1+windows*changes {
		t.Errorf("%v, at revision %d", all, d.Now)
	}
}
