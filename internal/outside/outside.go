// Package outside finds the independent readers that tests check against.
package outside

import (
	"os/exec"
	"testing"
)

// Need gives the path of a program that a check reads our output with, and
// fails the test when it is missing: a check that is left out checks nothing.
func Need(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is not installed: `make test` installs every outside reader", name)
	}
	return path
}

// Python gives Debian's Python, which has the ezdxf and shapely packages of
// Debian; a Python of another origin on PATH would not see them.
func Python(t testing.TB) string {
	t.Helper()
	return Need(t, "/usr/bin/python3")
}
