package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// asProgram makes the test binary behave as the program itself.
const asProgram = "BRUSHFALL_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// program gives the program as a process of its own, in the current folder.
func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	return cmd
}

func TestProcessExitCodes(t *testing.T) {
	desk(t)
	for _, c := range []struct {
		args string
		code int
	}{
		{"--version", exitDone},
		{"make badge.svg --width 20mm -o out", exitDone},
		{"inspect out", exitDone},
		{"make badge.svg -o out", exitInput},
	} {
		cmd := program(t, strings.Fields(c.args)...)
		out, _ := cmd.CombinedOutput()
		if got := cmd.ProcessState.ExitCode(); got != c.code {
			t.Errorf("%s: exit %d, want %d\n%s", c.args, got, c.code, out)
		}
	}
}

// Ctrl-C in the middle of a long run: the program ends by itself, says so, and
// the folder is as it was. The drawing fills a sheet with the smallest stones, so
// the run is far from its end when the staging folder shows that it has begun.
func TestInterruptedProcessLeavesNothing(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, "wall.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 28 48"><path d="M0 0H28V48H0Z"/></svg>`)
	cmd := program(t, "make", "wall.svg", "--width", "280mm", "--stone", "SS3", "-o", "out")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for begun := false; !begun; {
		select {
		case err := <-ended:
			t.Fatalf("the run ended before it could be interrupted: %v\n%s", err, stderr.String())
		case <-time.After(2 * time.Millisecond):
			found, err := filepath.Glob(".brushfall-*")
			if err != nil {
				t.Fatal(err)
			}
			begun = len(found) > 0
		}
	}
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	<-ended
	if code := cmd.ProcessState.ExitCode(); code != exitStopped || !strings.Contains(stderr.String(), "nothing was written") {
		t.Errorf("exit %d, stderr %q", code, stderr.String())
	}
	if left := tree(t); len(left) != 1 || left[0] != "wall.svg" {
		t.Errorf("the folder has %v", left)
	}
}
