package main

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"brushfall/internal/outside"
)

// read gives the text of a PDF as poppler reads it.
func read(t *testing.T, path string) string {
	t.Helper()
	out, err := exec.Command(outside.Need(t, "pdftotext"), "-layout", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", path, err, out)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

func has(t *testing.T, path string, words ...string) {
	t.Helper()
	text := read(t, path)
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%s lacks %q: %.900s", path, w, text)
		}
	}
}

// The papers that need no book, from a design to its proof, its care cards and its
// buy list, in other languages and on other paper.
func TestPapersWithoutABook(t *testing.T) {
	desk(t)
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	brushfall(t, "make", "badge.svg", "--width", "60mm", "--effort", "live", "--language", "de", "-o", "own").wants(t, exitDone, "ticket.pdf")
	has(t, "own/ticket.pdf", "ARBEITSZETTEL", "Platte 1", "Das sind Richtwerte", "Seite 1 von", "60 × ")

	brushfall(t, "paper", "proof", "own", "--garment", "red", "--language", "es", "--customer", "Łukasz; Weir Cottage", "--date", "2031-05-03").wants(t, exitDone, "proof.pdf")
	has(t, "proof.pdf", "Sí, háganlo así", "rojo", "3 de mayo de 2031", "Łukasz", "Weir Cottage", "A tamaño real", "mm (")

	brushfall(t, "paper", "care", "--press", "cotton", "--shop", "Saltmarsh Sparkle; Reed Lane 3", "--paper", "letter", "-o", "cards/care.pdf").wants(t, exitDone, "cards/care.pdf")
	has(t, "cards/care.pdf", "inside out", "swallowed", "Reed Lane 3")

	list := brushfall(t, "buy", "--want", "SS10 crystal 3000", "--json")
	list.wants(t, exitDone)
	if err := os.WriteFile("list.json", []byte(list.stdout), 0o600); err != nil {
		t.Fatal(err)
	}
	brushfall(t, "paper", "buy", "list.json", "--language", "de", "-o", "buy.pdf").wants(t, exitDone, "buy.pdf")
	has(t, "buy.pdf", "Einkaufsliste", "SS10 crystal", "Preis nicht bekannt", "1.440 Stück je Packung")
}

func TestPapersSayWhatIsWrong(t *testing.T) {
	desk(t)
	for _, c := range []struct {
		words []string
		says  string
	}{
		{[]string{"paper", "care", "--language", "tlh"}, "choose one of en, de, es"},
		{[]string{"paper", "care", "--paper", "a3"}, "a4 or letter"},
		{[]string{"paper", "care", "--copies", "-1"}, "cards cannot be printed"},
		{[]string{"paper", "proof", "nowhere"}, "nowhere"},
		{[]string{"paper", "buy", "badge.svg"}, "brushfall buy --json"},
		{[]string{"paper", "proof", "own", "--date", "May"}, "2031-05-03"},
		{[]string{"paper", "prof"}, "prof"},
	} {
		brushfall(t, c.words...).wants(t, exitInput, c.says)
	}
}
