package trial

import (
	"bytes"
	"io/fs"

	"brushfall/internal/artwork"
	"brushfall/internal/artwork/svgin"
	"brushfall/internal/geom"
)

// iconSpan is the longer side of every icon, in mm.
const iconSpan = 80

// icons lists the drawings taken from the SVG reader's own test data, where
// their packages and licences are named.
func icons() []string {
	return []string{
		"bootstrap-icons/bell-fill", "bootstrap-icons/flower1", "bootstrap-icons/fan", "bootstrap-icons/snow2",
		"fluent-emoji-flat/butterfly", "fluent-emoji-flat/owl", "fluent-emoji-flat/rocket", "fluent-emoji-flat/duck", "fluent-emoji-flat/octopus",
		"lucide-static/anchor", "lucide-static/cat", "lucide-static/feather", "lucide-static/paw-print",
		"mdi-svg/bee", "mdi-svg/horse-variant", "mdi-svg/rowing", "mdi-svg/jellyfish",
		"tabler-icons-filled/clover", "tabler-icons-filled/crown", "tabler-icons-outline/deer",
	}
}

func iconShapes(tree fs.FS) ([]Shape, error) {
	var out []Shape
	for _, name := range icons() {
		file := "artwork/svgin/testdata/icons/" + name + ".svg"
		data, err := fs.ReadFile(tree, file)
		if err != nil {
			return nil, broken(file, err)
		}
		area, err := wholeArea(data)
		if err != nil {
			return nil, err
		}
		out = append(out, Shape{Name: name, Kind: "icon", Source: "icon " + name + ".svg", Area: area})
	}
	return out, nil
}

// wholeArea gives all areas of a drawing as one shape of the span of icons.
func wholeArea(svg []byte) (geom.Shape, error) {
	d, err := svgin.Read(bytes.NewReader(svg), svgin.Options{})
	if err != nil {
		return geom.Shape{}, err
	}
	// The file is read at about its final size, so that curves are as fine as there.
	box := d.Extent()
	d = artwork.Visible(d.Scale(iconSpan / max(box.Width(), box.Height())))
	parts := make([]geom.Shape, 0, len(d.Regions))
	for _, r := range d.Regions {
		parts = append(parts, r.Shape)
	}
	area := geom.Union(parts...)
	return stand(area, iconSpan/longest(area)), nil
}
