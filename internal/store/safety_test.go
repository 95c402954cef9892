package store

import (
	"bufio"
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

func containsAll(text string, parts ...string) bool {
	for _, p := range parts {
		if !strings.Contains(text, p) {
			return false
		}
	}
	return true
}

// kills is how often a busy program is killed: `go test ./internal/store -run
// Killed -kills 1000` is the long form.
var kills = flag.Int("kills", 12, "how often TestKilledProgramsLoseNothing kills")

// busyWith makes the test binary a program that is busy with the book named.
const busyWith = "BRUSHFALL_TEST_BUSY_WITH"

func TestMain(m *testing.M) {
	if path := os.Getenv(busyWith); path != "" {
		busy(path)
	}
	flag.Parse()
	os.Exit(m.Run())
}

// busy writes to the book until it is killed, and says of each deed on stdout, once
// it is done, its number. Now and then it makes a backup.
func busy(path string) {
	b, err := Create(context.Background(), path)
	for n := 0; err == nil; n++ {
		var d shop.Deed
		switch n % 4 {
		case 0:
			var all []shop.Deed
			all, err = b.Receive(context.Background(), morning(), []shop.Receipt{
				{Kind: crystal(), Labelled: 1440, Pieces: 1440, Supplier: "Reed & Co"},
				{Kind: crystal(), Labelled: 144, Pieces: 144},
			})
			if err == nil {
				d = all[1]
			}
		case 1:
			d, err = b.Change(context.Background(), morning(), shop.Change{What: shop.Used, Kind: crystal(), Pieces: 700})
		case 2:
			d, err = b.Change(context.Background(), morning(), shop.Change{What: shop.Moved, Kind: crystal(), Pieces: 100, Towards: "market"})
		case 3:
			d, err = b.Change(context.Background(), morning(), shop.Change{What: shop.Counted, Kind: crystal(), Pieces: 90, Place: "market"})
		}
		if err == nil {
			fmt.Println(d.ID)
		}
		if err == nil && n%5 == 4 {
			err = busyWithTemplates(b, byte(n))
		}
		if err == nil && n%3 == 2 {
			err = busyWithJobs(b, n)
		}
		if err == nil && n%16 == 15 {
			_, err = b.Backup(context.Background(), path+".copy", true)
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// busyWithTemplates enters a template and brushes with it, and says its number.
func busyWithTemplates(b *Book, n byte) error {
	s, err := b.AddTemplate(context.Background(), morning(), cutBadge(n))
	if err == nil {
		_, err = b.NoteTemplate(context.Background(), morning(), s.Code, shop.TemplateEvent{What: shop.TemplateBrushed, Times: 12})
	}
	if err == nil {
		_, err = b.NoteTemplate(context.Background(), morning(), s.Code, shop.TemplateEvent{What: shop.TemplateMoved, Place: fmt.Sprint("drawer ", n)})
	}
	if err == nil {
		fmt.Println(templateSaid, s.ID)
	}
	return err
}

// templateSaid stands before the number of a template.
const templateSaid = "template"

// jobSaid stands before the number of a job.
const jobSaid = "job"

// busyWithJobs takes a job from asking to its end and says its number; now and then it
// erases the customer.
func busyWithJobs(b *Book, n int) error {
	ctx := context.Background()
	d := badge(n % 4)
	d.Stones = []shop.Stones{{Kind: crystal(), Pieces: 9, Take: 10}}
	d, err := b.AddDesign(ctx, morning(), d)
	if err != nil {
		return err
	}
	who, err := b.AddCustomers(ctx, morning(), []shop.Customer{{Name: "Saltmarsh Herons"}})
	if err != nil {
		return err
	}
	j, err := b.Ask(ctx, morning(), shop.Job{Customer: who[0].ID, Lines: []shop.Line{
		{Design: d.ID, Quantity: 2, Destination: shop.ToDisc}, {Design: d.ID, Quantity: 1, Destination: shop.ToShelf},
	}})
	if err != nil {
		return err
	}
	deeds := []func() (shop.Job, error){
		func() (shop.Job, error) { return b.Promise(ctx, morning(), j.ID, "") },
		func() (shop.Job, error) {
			return b.Make(ctx, morning(), shop.Making{Job: j.ID, Line: 2, Transfers: 1})
		},
		func() (shop.Job, error) {
			return b.Waste(ctx, morning(), shop.Wasting{Job: j.ID, Line: 1, Transfers: 1})
		},
		func() (shop.Job, error) { return b.Make(ctx, morning(), shop.Making{Job: j.ID}) },
		func() (shop.Job, error) { return b.HandOver(ctx, morning(), j.ID, "") },
	}
	for _, do := range deeds {
		if _, err := do(); err != nil {
			return err
		}
	}
	fmt.Println(jobSaid, j.ID)
	if n%9 == 2 {
		return b.EraseCustomer(ctx, morning(), who[0].ID)
	}
	return nil
}

// heard is what a program says, to be read while it goes on.
type heard struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.String()
}

// startBusy starts such a program.
func startBusy(t *testing.T, path string) (*exec.Cmd, *heard, *heard) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), busyWith+"="+path)
	var said, wrong heard
	cmd.Stdout, cmd.Stderr = &said, &wrong
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, &said, &wrong
}

// lastSaid gives the last number that a program said it had done after such a word,
// that of a deed after none; 0 for none. A number that was cut off by the kill has
// no line end and does not count.
func lastSaid(said, word string) int64 {
	said = said[:strings.LastIndex(said, "\n")+1]
	last := int64(0)
	for s := bufio.NewScanner(strings.NewReader(said)); s.Scan(); {
		number, ok := strings.CutPrefix(s.Text(), word)
		if n, err := strconv.ParseInt(strings.TrimSpace(number), 10, 64); err == nil && ok {
			last = n
		}
	}
	return last
}

// Two programs are busy with one book, and both are killed at a random moment, from
// before the book is begun to deep in the writing; then the book is sound, every
// deed that was said to be done is there, and the last backup is whole. It goes on
// in the same book, now and then in a new one.
func TestKilledProgramsLoseNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, uint64(*kills)))
	dir := t.TempDir()
	var path string
	done, templates := int64(0), 0
	for k := range *kills {
		if k%8 == 0 {
			path = filepath.Join(dir, fmt.Sprintf("shop-%d.book", k))
		}
		one, said1, wrong1 := startBusy(t, path)
		two, said2, wrong2 := startBusy(t, path)
		// Most kills wait until something was done, however slow the machine is.
		for tries := 0; k%4 != 0 && tries < 2000 && said1.String() == ""; tries++ {
			time.Sleep(10 * time.Millisecond)
		}
		time.Sleep(time.Duration(rng.IntN(300)) * time.Millisecond)
		for _, c := range []*exec.Cmd{one, two} {
			if err := c.Process.Kill(); err != nil {
				t.Fatal(err, wrong1.String(), wrong2.String())
			}
			_ = c.Wait() // it was killed
		}
		if wrong := wrong1.String() + wrong2.String(); wrong != "" {
			t.Fatalf("kill %d: %s", k, wrong)
		}
		if _, err := os.Stat(path); err != nil {
			continue // killed before it began
		}
		b, err := Create(t.Context(), path)
		if err != nil {
			t.Fatalf("kill %d: %v", k, err)
		}
		r := mustBeSound(t, b)
		if last := max(lastSaid(said1.String(), ""), lastSaid(said2.String(), "")); int64(r.Deeds) < last {
			t.Errorf("kill %d: deed %d was done and the book has %d", k, last, r.Deeds)
		}
		if last := max(lastSaid(said1.String(), templateSaid), lastSaid(said2.String(), templateSaid)); int64(r.Templates) < last {
			t.Errorf("kill %d: template %d was entered and the book has %d", k, last, r.Templates)
		}
		for _, said := range []string{said1.String(), said2.String()} {
			if last := lastSaid(said, jobSaid); last > 0 {
				if j, err := b.Job(t.Context(), last); err != nil || j.State != shop.HandedOver {
					t.Errorf("kill %d: job %d was handed over and is %q; %v", k, last, j.State, err)
				}
			}
		}
		if err := b.Close(); err != nil {
			t.Error(err)
		}
		if _, err := os.Stat(path + ".copy"); err == nil {
			if _, err := verify(t.Context(), path+".copy"); err != nil {
				t.Errorf("kill %d: the backup: %v", k, err)
			}
		}
		if k%8 == 7 || k == *kills-1 {
			done, templates = done+int64(r.Deeds), templates+r.Templates
		}
	}
	t.Logf("%d kills of two programs, %d deeds, %d templates", *kills, done, templates)
}

// Many programs begin one book at the same moment, and their deeds are all there.
func TestManyBeginOneBook(t *testing.T) {
	const programs, each = 6, 15
	path := filepath.Join(t.TempDir(), "shop.book")
	var wg sync.WaitGroup
	for range programs {
		wg.Go(func() {
			b, err := Create(t.Context(), path)
			if err != nil {
				t.Error(err)
				return
			}
			defer b.Close()
			for range each {
				if _, err := b.Receive(t.Context(), morning(), []shop.Receipt{receipt(t, 10)}); err != nil {
					t.Error(err)
				}
				if _, err := b.Change(t.Context(), morning(), shop.Change{What: shop.Used, Kind: crystal(), Pieces: 4}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	b, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if r := mustBeSound(t, b); r.Deeds != 2*programs*each || r.Pieces != 6*programs*each {
		t.Errorf("%+v", r)
	}
}

func TestBackupAndRestore(t *testing.T) {
	b := newBook(t)
	dir := t.TempDir()
	copied, aside := filepath.Join(dir, "copy?.book"), filepath.Join(dir, "aside.book")
	mustReceive(t, b, receipt(t, 100))
	if _, err := b.Backup(t.Context(), copied, false); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Backup(t.Context(), copied, false); fault.CodeOf(err) != "book-exists" {
		t.Errorf("over a file: %v", err)
	}
	if err := os.WriteFile(copied+"-wal", []byte("of another book"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Backup(t.Context(), copied, true); fault.CodeOf(err) != "book-exists" {
		t.Errorf("beside another's log: %v", err)
	}
	if err := os.Remove(copied + "-wal"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Backup(t.Context(), copied, true); err != nil {
		t.Errorf("over the last copy: %v", err)
	}
	mustReceive(t, b, receipt(t, 7))
	// b stays open, as another program may, and sees the restored book.
	if _, kept, err := Restore(t.Context(), copied, b.path, aside); err != nil || !kept {
		t.Fatal(kept, err)
	}
	if r := mustBeSound(t, b); r.Pieces != 100 {
		t.Errorf("restored %+v", r)
	}
	mustReceive(t, b, receipt(t, 1))
	if r, err := verify(t.Context(), aside); err != nil || r.Pieces != 107 {
		t.Errorf("kept %+v, %v", r, err)
	}
	fresh := filepath.Join(dir, "new", "shop.book")
	if r, kept, err := Restore(t.Context(), copied, fresh, aside); err != nil || kept || r.Pieces != 100 {
		t.Errorf("to nowhere: %+v, %v", r, err)
	}
	left, err := filepath.Glob(filepath.Join(dir, ".brushfall-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// A backup that is not whole, or no book, changes nothing.
func TestRestoreLooksFirst(t *testing.T) {
	b := newBook(t)
	dir := t.TempDir()
	mustReceive(t, b, receipt(t, 100))
	copied := filepath.Join(dir, "copy.book")
	if _, err := b.Backup(t.Context(), copied, false); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	holed := bytes.Clone(whole)
	for i := 4096; i < len(holed); i++ {
		holed[i] ^= 0x5a
	}
	for name, c := range map[string]struct {
		text []byte
		code string
	}{
		"half":  {whole[:len(whole)/2], "book-damaged"},
		"holed": {holed, "book-damaged"},
		"prose": {[]byte("Dear Herons, the stones have come."), "book-not"},
		"empty": {nil, "book-not"},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, c.text, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, _, err := Restore(t.Context(), path, b.path, filepath.Join(dir, "aside")); fault.CodeOf(err) != c.code {
			t.Errorf("%s: %v, want %s", name, err, c.code)
		}
	}
	if _, _, err := Restore(t.Context(), filepath.Join(dir, "lost"), b.path, ""); fault.CodeOf(err) != "book-missing" {
		t.Error(err)
	}
	if _, _, err := Restore(t.Context(), b.path, b.path, ""); fault.CodeOf(err) != "book-exists" {
		t.Error(err)
	}
	if r := mustBeSound(t, b); r.Pieces != 100 {
		t.Errorf("%+v", r)
	}
}

// A damaged book is kept as it is and the backup takes its place.
func TestRestoreOverADamagedBook(t *testing.T) {
	b := newBook(t)
	dir := t.TempDir()
	mustReceive(t, b, slices.Repeat([]shop.Receipt{receipt(t, 5)}, 4000)...) // so that the second half holds no table's beginning
	copied, aside := filepath.Join(dir, "copy.book"), filepath.Join(dir, "aside.book")
	if _, err := b.Backup(t.Context(), copied, false); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	for i := len(text) / 2; i < len(text); i++ {
		text[i] ^= 0x5a
	}
	if err := os.WriteFile(b.path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	broken, err := Look(t.Context(), b.path)
	if err != nil {
		t.Fatal(err)
	}
	r, err := broken.Check(t.Context())
	if err != nil || len(r.Problems) == 0 {
		t.Errorf("the check says %+v, %v", r, err)
	}
	if _, err := broken.Backup(t.Context(), filepath.Join(dir, "bad"), false); fault.CodeOf(err) != "book-damaged" {
		t.Errorf("a backup of it: %v", err)
	}
	if err := broken.Close(); err != nil {
		t.Fatal(err)
	}
	if _, kept, err := Restore(t.Context(), copied, b.path, aside); err != nil || !kept {
		t.Fatal(kept, err)
	}
	if kept, err := os.ReadFile(aside); err != nil || !bytes.Equal(kept, text) {
		t.Errorf("the damaged book was not kept as it is: %v", err)
	}
	if r, err := verify(t.Context(), b.path); err != nil || r.Pieces != 20_000 {
		t.Errorf("%+v, %v", r, err)
	}
}
