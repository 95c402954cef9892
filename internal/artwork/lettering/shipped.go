package lettering

import (
	"crypto/sha256"
	"embed"
	"fmt"
	"strings"
	"sync"
)

//go:embed faces
var files embed.FS

// shippedFiles lists the faces that come with the program, the one that is taken
// when none is named first. Each has the text of its licence beside it.
func shippedFiles() [][2]string {
	return [][2]string{
		{"Archivo ExtraBold", "Archivo_800ExtraBold.ttf"},
		{"Alfa Slab One", "AlfaSlabOne_400Regular.ttf"},
		{"Lora Bold", "Lora_700Bold.ttf"},
		{"Dancing Script Bold", "DancingScript_700Bold.ttf"},
		{"Pacifico", "Pacifico_400Regular.ttf"},
		{"EMS Readability", "EMSReadability.strokes.txt"},
		{"EMS Allure", "EMSAllure.strokes.txt"},
	}
}

// Shipped gives the faces that come with the program: a bold sans, a slab, a serif,
// two scripts, and two of single lines, upright and script.
func Shipped() []*Face { return append([]*Face(nil), shipped()...) }

// shipped reads the embedded files once. They are part of the program and the tests
// read them whole, so a fault in one is a fault of the build.
var shipped = sync.OnceValue(func() []*Face {
	var out []*Face
	for _, s := range shippedFiles() {
		data, err := files.ReadFile("faces/" + s[1])
		if err != nil {
			panic(fmt.Sprintf("embedded faces: %v", err))
		}
		var f *Face
		if strings.HasSuffix(s[1], ".strokes.txt") {
			f = &Face{name: s[0], digest: sha256.Sum256(data), lines: readLineFace(string(data))}
			f.capital = f.lines.capital()
		} else if f, err = ReadFace(s[0], data); err != nil {
			panic(fmt.Sprintf("embedded faces: %v", err))
		}
		out = append(out, f)
	}
	return out
})

// FindShipped gives the face of the name, in any case; nil if none is shipped by it.
func FindShipped(name string) *Face {
	for _, f := range shipped() {
		if strings.EqualFold(strings.TrimSpace(name), f.name) {
			return f
		}
	}
	return nil
}
