package advise_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"brushfall/examples"
	"brushfall/internal/advise"
	"brushfall/internal/artwork/svgin"
	"brushfall/internal/catalogue"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestHeron(t *testing.T) {
	_, file := examples.Heron()
	d, err := svgin.Read(bytes.NewReader(file.Data), svgin.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := advise.Run(t.Context(), d, advise.Options{Width: 228.6, Sizes: advise.Everyday(), Web: catalogue.Web}, nil)
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := r.Table(&got); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join("testdata", "heron.txt")
	if *update {
		if err := os.WriteFile(name, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("the advice on the heron is now\n%s\nand was\n%s\nIf it is as good, run go test ./internal/advise -update", got.String(), want)
	}
}
