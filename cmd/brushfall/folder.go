package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"brushfall/internal/fault"
	"brushfall/internal/job"
)

// folder is the place a run writes into. Everything is written into a staging
// folder beside or in it first, so that a run that fails or is stopped leaves
// nothing behind and never a file that is written in part.
type folder struct {
	dir     string
	staging string
	exists  bool
}

// made is a name that earlier runs may have left: a design with fewer sheets
// must not keep the old ones beside its own.
var made = regexp.MustCompile(`^sheet-[0-9]+\.(svg|dxf|plt|pdf)$`)

// openFolder makes the staging folder, which also shows, before the work starts,
// whether the place can be written to. Faults: "out-file" where a file is in the
// way, "out-unwritable".
func openFolder(dir string) (*folder, error) {
	f := &folder{dir: filepath.Clean(dir)}
	at, err := nearest(f.dir)
	if err != nil {
		return nil, err
	}
	f.exists = at == f.dir
	staging, err := os.MkdirTemp(at, ".brushfall-")
	if err != nil {
		return nil, unwritable(at, err)
	}
	f.staging = staging
	return f, nil
}

// nearest gives the folder, or the nearest one above it that is there.
func nearest(dir string) (string, error) {
	for at := dir; ; {
		info, err := os.Stat(at)
		if err == nil && !info.IsDir() {
			return "", fault.New("out-file", at, "this is a file, not a folder; name another folder after -o")
		}
		if err == nil {
			return at, nil
		}
		parent := filepath.Dir(at)
		if !errors.Is(err, fs.ErrNotExist) || parent == at {
			return "", unwritable(at, err)
		}
		at = parent
	}
}

func unwritable(path string, err error) error {
	var reason error = err
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		reason = pe.Err
	} else if le, ok := errors.AsType[*os.LinkError](err); ok {
		reason = le.Err
	}
	return fault.New("out-unwritable", path, "cannot write here (%v); choose another folder after -o", reason)
}

// discard removes the staging folder. It is called on every way out.
func (f *folder) discard() { os.RemoveAll(f.staging) }

// commit writes the files and puts them in their place. Until every file is
// whole on the disk nothing in the folder changes; a cancelled context stops it
// up to then.
func (f *folder) commit(ctx context.Context, files []job.File) error {
	whole := filepath.Join(f.staging, "whole")
	if err := os.Mkdir(whole, 0o777); err != nil {
		return unwritable(f.dir, err)
	}
	for _, file := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := filepath.Join(whole, filepath.FromSlash(file.Name))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			return unwritable(f.dir, err)
		}
		if err := writeFile(at, file.Data); err != nil {
			return unwritable(f.dir, err)
		}
	}
	if !f.exists {
		return f.appear(whole)
	}
	return f.replace(whole, files)
}

// writeFile writes and syncs one new file.
func writeFile(path string, data []byte) error {
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, werr := out.Write(data)
	serr := out.Sync()
	return errors.Join(werr, serr, out.Close())
}

// appear makes the folder out of the staged one, in one step.
func (f *folder) appear(whole string) error {
	parent := filepath.Dir(f.dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return unwritable(parent, err)
	}
	if err := os.Rename(whole, f.dir); err != nil {
		return unwritable(f.dir, err)
	}
	return nil
}

// replace moves the staged files over those of an earlier run and leaves every
// other file alone. Sheets that only the earlier run had are removed, where its
// layout.json or sheets.json shows that a folder is one of ours.
func (f *folder) replace(whole string, files []job.File) error {
	var dirs []string
	ours, fresh := map[string]bool{}, map[string]bool{}
	for _, file := range files {
		name := filepath.FromSlash(file.Name)
		fresh[name] = true
		if dir := filepath.Dir(name); !slices.Contains(dirs, dir) {
			dirs = append(dirs, dir)
			ours[dir] = isThere(filepath.Join(f.dir, dir, layoutName)) || isThere(filepath.Join(f.dir, dir, sheetsName))
			if err := os.MkdirAll(filepath.Join(f.dir, dir), 0o777); err != nil {
				return unwritable(filepath.Join(f.dir, dir), err)
			}
		}
	}
	for _, file := range files {
		name := filepath.FromSlash(file.Name)
		if err := os.Rename(filepath.Join(whole, name), filepath.Join(f.dir, name)); err != nil {
			return unwritable(filepath.Join(f.dir, name), err)
		}
	}
	for _, dir := range dirs {
		if ours[dir] {
			if err := f.removeOld(dir, fresh); err != nil {
				return err
			}
		}
	}
	return nil
}

// removeOld removes the sheets of an earlier run from a folder of ours.
func (f *folder) removeOld(dir string, fresh map[string]bool) error {
	at := filepath.Join(f.dir, dir)
	entries, err := os.ReadDir(at)
	if err != nil {
		return unwritable(at, err)
	}
	for _, e := range entries {
		if made.MatchString(e.Name()) && !fresh[filepath.Join(dir, e.Name())] && e.Type().IsRegular() {
			if err := os.Remove(filepath.Join(at, e.Name())); err != nil {
				return unwritable(filepath.Join(at, e.Name()), err)
			}
		}
	}
	return nil
}
