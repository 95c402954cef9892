package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"

	"github.com/spf13/cobra"

	"brushfall/internal/trial"
)

// rosterJob is what every name of the list is made by: capitals of 25 mm in the
// heaviest face, the most work that a list of names asks for.
const rosterJob = `design: Crew {name}
lettering: {text: "{name}", face: Archivo ExtraBold, height: 25 mm}
stone: {size: SS10, colour: crystal}
`

// The targets of a list of 500 names.
const (
	rosterSeconds = 60
	rosterMB      = 1024
)

func rosterCommand() *cobra.Command {
	var rows int
	var seed uint64
	cmd := &cobra.Command{
		Use: "roster", Short: "Time the whole run of a list of invented names, sheets nested and files written", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return roster(cmd.Context(), cmd.OutOrStdout(), rows, seed)
		},
	}
	cmd.Flags().IntVar(&rows, "rows", 500, "rows of the list")
	cmd.Flags().Uint64Var(&seed, "seed", 1, "of the names")
	return cmd
}

// roster builds the program and runs it on a list, in a folder that goes afterwards.
func roster(ctx context.Context, w io.Writer, rows int, seed uint64) error {
	dir, err := os.MkdirTemp("", "brushfall-roster-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "brushfall")
	build := exec.CommandContext(ctx, "go", "build", "-o", program, "./cmd/brushfall")
	if build.Stderr = os.Stderr; build.Run() != nil {
		return fmt.Errorf("the program cannot be built")
	}
	list := bytes.NewBufferString("name\n")
	for _, name := range trial.Names(rows, seed) {
		fmt.Fprintln(list, name)
	}
	for name, text := range map[string][]byte{"crew.yaml": []byte(rosterJob), "crew.csv": list.Bytes()} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			return err
		}
	}
	run := exec.CommandContext(ctx, program, "roster", "crew.yaml", "crew.csv", "-o", "crew")
	run.Dir, run.Stderr = dir, os.Stderr
	watch := stopwatch()
	told, err := run.Output()
	if err != nil {
		return err
	}
	took := watch()
	said, _, _ := bytes.Cut(told, []byte("\n"))
	fmt.Fprintf(w, "A list of %d names, capitals of 25 mm in Archivo ExtraBold, SS10: %s\n", rows, said)
	p := run.ProcessState
	fmt.Fprintf(w, "  %.1f s (asked: %d), %.1f s of the cores", took, rosterSeconds, (p.UserTime() + p.SystemTime()).Seconds())
	if usage, ok := p.SysUsage().(*syscall.Rusage); ok {
		fmt.Fprintf(w, ", %d MB (asked: %d)", usage.Maxrss/1024, rosterMB)
	}
	fmt.Fprintln(w)
	return nil
}
