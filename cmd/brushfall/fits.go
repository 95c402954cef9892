package main

import (
	"bytes"
	"os"
	"path/filepath"

	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/job"
)

// fitsName is the shop's fits in the user's folder.
const fitsName = "fits.json"

// fitsPath gives the file of the fits: the named one, or that of the user's folder.
func fitsPath(named string) (string, error) {
	if named != "" {
		return named, nil
	}
	dir, err := userFolder()
	return filepath.Join(dir, fitsName), err
}

// readFits reads the shop's fits. A file that is not there is an empty book,
// unless it was named and is not about to be made.
func readFits(named string, made bool) (fit.Book, error) {
	path, err := fitsPath(named)
	if err != nil {
		return fit.Book{}, nil // no folder for settings, so no fits in it
	}
	text, err := readFile(path)
	if fault.CodeOf(err) == "file-missing" && (named == "" || made) {
		return fit.Book{}, nil
	}
	if err != nil {
		return fit.Book{}, err
	}
	b, err := fit.Read(bytes.NewReader(text))
	if err != nil {
		return b, within(path, err)
	}
	return b, nil
}

// writeFits writes the fits beside their file and then puts them in its place.
func writeFits(path string, b fit.Book) error {
	var text bytes.Buffer
	if err := b.Write(&text); err != nil {
		return err
	}
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return unwritable(dir, err)
	}
	staging, err := os.MkdirTemp(dir, ".brushfall-")
	if err != nil {
		return unwritable(dir, err)
	}
	defer os.RemoveAll(staging)
	whole := filepath.Join(staging, fitsName)
	if err := writeFile(whole, text.Bytes()); err != nil {
		return unwritable(dir, err)
	}
	if err := os.Rename(whole, path); err != nil {
		return unwritable(path, err)
	}
	return nil
}

// keepFits writes the fits of the person's folder.
func keepFits(b fit.Book) error {
	path, err := fitsPath("")
	if err != nil {
		return err
	}
	return writeFits(path, b)
}

// withFits gives the job with the shop's fits, and flock and cutter of the flags.
func withFits(j job.Job, f makeFlags) (job.Job, error) {
	var err error
	if j.Fits, err = readFits(f.fits, false); err != nil {
		return j, err
	}
	if err := flagged("--flock", f.flock, job.ParseFitName, &j.Flock); err != nil {
		return j, err
	}
	return j, flagged("--cutter", f.cutter, job.ParseFitName, &j.Cutter.Name)
}
