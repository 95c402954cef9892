package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"
)

// A job of lettering alone is made, with a font file of the shop's own beside it.
func TestMakeLettering(t *testing.T) {
	own, err := os.ReadFile(filepath.Join("..", "..", "internal", "trial", "testdata", "fonts", "arvo", "Arvo_700Bold.ttf"))
	if err != nil {
		t.Fatal(err)
	}
	desk(t)
	if err := os.MkdirAll("club/fonts", 0o700); err != nil {
		t.Fatal(err)
	}
	put(t, "club/fonts/own.ttf", string(own))
	put(t, "club/crew.yaml", "lettering: {text: Heron, face: fonts/own.ttf, height: 20 mm}\nstone: {size: SS6}\neffort: live\n")
	o := brushfall(t, "make", "club/crew.yaml", "-o", "out")
	o.wants(t, exitDone, "Heron:", "SS6 crystal")
	if _, err := os.Stat("out/layout.json"); err != nil {
		t.Error(err)
	}
}

func TestLetteringIsRefused(t *testing.T) {
	desk(t)
	put(t, "bad.ttf", "no font at all")
	for _, c := range []struct{ piece, says string }{
		{"text: 李, height: 20 mm", "U+674E"},
		{"text: H, height: 20 mm, face: No Such Face Anywhere", "Alfa Slab One"},
		{"text: H, height: 20 mm, face: nowhere.ttf", "nowhere.ttf"},
		{"text: H, height: 20 mm, face: bad.ttf", "TTF, OTF or WOFF"},
		{"text: H", "height: of the capitals"},
	} {
		put(t, "crew.yaml", "lettering: {"+c.piece+"}\n")
		o := brushfall(t, "make", "crew.yaml", "-o", "out")
		o.wants(t, exitInput, c.says)
	}
}

func TestInstalledFacesByName(t *testing.T) {
	at := func(file, family string, style font.Style, weight font.Weight) fontscan.Footprint {
		return fontscan.Footprint{
			Location: fontscan.Location{File: file}, Family: font.NormalizeFamily(family),
			Aspect: font.Aspect{Style: style, Weight: weight, Stretch: font.StretchNormal},
		}
	}
	found := []fontscan.Footprint{
		at("b.ttf", "Crew Sans", font.StyleNormal, font.WeightBold),
		at("r2.ttf", "Crew Sans", font.StyleNormal, font.WeightNormal),
		at("r.ttf", "Crew Sans", font.StyleNormal, font.WeightNormal),
		at("bi.ttf", "Crew Sans", font.StyleItalic, font.WeightBold),
		at("black.ttf", "Oar Black", font.StyleNormal, font.WeightNormal),
	}
	for name, want := range map[string]string{
		"Crew Sans": "r.ttf", "crew sans bold": "b.ttf", "Crew Sans Bold Italic": "bi.ttf", "Crew Sans Regular": "r.ttf",
		"Oar Black": "black.ttf", "Oar": "", "Crew": "", "Crew Sans Light": "",
	} {
		if got := pickInstalled(name, found); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
