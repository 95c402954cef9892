package main

import (
	"io"
	"log"
	"os"
	"path/filepath"
	"strings"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/job"
)

// readFaces reads the faces that a job's lettering names and that are not shipped:
// font files by their path, taken from the folder of the job file, and those
// installed on this machine by their name.
func readFaces(j *job.Job, folder string) error {
	for _, name := range j.FacesWanted() {
		path, _, file := lettering.FontFile(name)
		switch {
		case file && !filepath.IsAbs(path):
			path = filepath.Join(folder, path)
		case !file:
			if path = installed(name); path == "" {
				return unknownFace(*j, name)
			}
		}
		data, err := readFile(path)
		if err != nil {
			return err
		}
		f, err := lettering.ReadFace(name, data)
		if err != nil {
			return at(path, err)
		}
		j.Faces = append(j.Faces, f)
	}
	return nil
}

// unknownFace is the stage's own fault for a face that is not at hand.
func unknownFace(j job.Job, name string) error {
	_, err := lettering.Sheet{Faces: j.Faces}.Find(name)
	return err
}

// installed gives the file of an installed face: by its family, upright and regular
// where there are several, or by its family and style, "Lora Bold Italic"; a collection
// is told by any of its faces. Empty for one that is not found.
func installed(name string) string {
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	found, err := fontscan.SystemFonts(log.New(io.Discard, "", 0), filepath.Join(dir, "brushfall"))
	if err != nil {
		return ""
	}
	return pickInstalled(name, found)
}

// pickInstalled finds a name among the faces of a machine; of equals, the first by path.
func pickInstalled(name string, found []fontscan.Footprint) string {
	family, aspect := font.NormalizeFamily(name), font.Aspect{Style: font.StyleNormal, Weight: font.WeightNormal, Stretch: font.StretchNormal}
	best := ""
	match := func(family string, aspect font.Aspect) {
		for _, f := range found {
			if f.Family == family && f.Aspect == aspect && (best == "" || f.Location.File < best) {
				best = f.Location.File
			}
		}
	}
	match(family, aspect)
	if base, ok := strings.CutSuffix(family, "italic"); ok {
		family, aspect.Style = base, font.StyleItalic
	}
	for _, w := range weights() {
		if base, ok := strings.CutSuffix(family, w.word); ok && best == "" {
			aspect.Weight = w.weight
			match(base, aspect)
			return best
		}
	}
	if best == "" {
		match(family, aspect)
	}
	return best
}

type weightWord struct {
	word   string
	weight font.Weight
}

// weights lists the words for weights, longer ones before those they end in.
func weights() []weightWord {
	return []weightWord{
		{"extrabold", font.WeightExtraBold},
		{"semibold", font.WeightSemibold},
		{"bold", font.WeightBold},
		{"black", font.WeightBlack},
		{"medium", font.WeightMedium},
		{"light", font.WeightLight},
		{"regular", font.WeightNormal},
	}
}
