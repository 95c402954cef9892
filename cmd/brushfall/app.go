package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"brushfall/internal/fault"
)

// The exit codes; the help of the root command lists them.
const (
	exitDone     = 0
	exitFindings = 1
	exitInput    = 2
	exitInternal = 3
	exitStopped  = 130 // as shells have it: 128 + the number of the interrupt
)

// errFindings ends a command that did its work and found broken rules, which it
// has printed.
var errFindings = errors.New("rules are broken")

// errFaults ends a command that has printed all that is wrong with its input.
var errFaults = errors.New("the input has faults")

// halted ends a command that was stopped half way, with what to know of it.
type halted struct{ message string }

func (h *halted) Error() string { return h.message }

// app is one run of the program: where it writes, and the flag that every
// command for machines has.
type app struct {
	in       io.Reader
	out, err io.Writer
	json     bool
}

// run is the program without the process around it: it reads the arguments,
// does the work and gives the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	answer := &answer{to: stdout}
	a := &app{in: os.Stdin, out: answer, err: stderr}
	root := a.root()
	root.SetArgs(args)
	root.SetOut(answer)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if answer.err != nil { // also where nobody looked at it
		fmt.Fprintf(stderr, "brushfall: cannot write the answer: %v\n", answer.err)
		return exitInput
	}
	return a.finish(err)
}

// answer is where answers go. It keeps the first error, such as that of a full
// disk, and writes no more after it.
type answer struct {
	to  io.Writer
	err error
}

func (w *answer) Write(p []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	n, err := w.to.Write(p)
	w.err = err
	return n, err
}

// finish prints an error for a person, and for a machine if one listens, and
// gives its exit code.
func (a *app) finish(err error) int {
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.Is(err, errFaults):
		return exitInput
	case errors.As(err, new(*halted)):
		fmt.Fprintf(a.err, "brushfall: %v\n", err)
		return exitStopped
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(a.err, "brushfall: stopped; nothing was written")
		return exitStopped
	}
	e, ok := errors.AsType[*fault.Error](err)
	if !ok {
		e = fault.Wrap("internal", err)
	}
	if a.json {
		a.print(map[string]any{"error": map[string]string{"code": e.Code, "where": e.Where, "message": e.Message}})
	}
	fmt.Fprintf(a.err, "brushfall: %v\n", e)
	if e.Kind == fault.Internal {
		fmt.Fprintf(a.err, "This is a fault of the program (%s), not yours. Please report it with the drawing and the command.\n", e.Code)
		return exitInternal
	}
	return exitInput
}

// print writes a value as JSON for machines.
func (a *app) print(v any) {
	enc := json.NewEncoder(a.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	_ = enc.Encode(v) // run looks at what could not be written
}
