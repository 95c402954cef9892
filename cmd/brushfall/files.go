package main

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"

	"brushfall/internal/fault"
)

// mostInput bounds a file that is read whole; the readers have their own bounds
// below it.
const mostInput = 256 << 20

// readFile reads a file that the user named. Faults: "file-missing",
// "file-folder", "file-unreadable", "file-size".
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, openFault(path, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fault.New("file-folder", path, "this is a folder; name a file in it")
	}
	text, err := io.ReadAll(io.LimitReader(f, mostInput+1))
	if err != nil {
		return nil, openFault(path, err)
	}
	if len(text) > mostInput {
		return nil, fault.New("file-size", path, "the file is larger than %d MB", mostInput>>20)
	}
	return text, nil
}

func openFault(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fault.New("file-missing", path, "there is no such file; check the spelling and the folder")
	case errors.Is(err, fs.ErrPermission):
		return fault.New("file-unreadable", path, "the file may not be read; check its permissions")
	}
	return fault.New("file-unreadable", path, "the file cannot be read: %v", errors.Unwrap(err))
}

// at puts a place before a fault that has none.
func at(where string, err error) error {
	return fault.Placed(err, func(own string) string { return cmp.Or(own, where) })
}
