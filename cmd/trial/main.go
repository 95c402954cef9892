// Command trial measures the layouts of the standard set of shapes, and draws
// them on one sheet to be looked at. It is for those who work on the program;
// run it from the module's root.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"brushfall/internal/trial"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200) // as the program does, whose times are measured
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := &cobra.Command{Use: "trial", Short: "Measure layouts on the standard set of shapes", SilenceUsage: true}
	root.AddCommand(benchCommand(), contactCommand(), listCommand(), shopCommand(), sheetsCommand(), rosterCommand(), lettersCommand(), facesCommand())
	if root.ExecuteContext(ctx) != nil {
		os.Exit(1)
	}
}

// cases reads the standard set from the module's internal folder.
func cases() ([]trial.Case, error) {
	shapes, err := trial.Standard(os.DirFS("internal"))
	if err != nil {
		return nil, err
	}
	return trial.Cases(shapes)
}

func listCommand() *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "List the cases of the standard set and where they are from", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			all, err := cases()
			for _, c := range all {
				b := c.Area.Bounds()
				fmt.Fprintf(cmd.OutOrStdout(), "%-32s %5.1f × %5.1f mm, %6.0f mm²  %s\n", c.Name(), b.Width(), b.Height(), c.Area.Area(), c.Source)
			}
			return err
		},
	}
}

// stopwatch gives the seconds since it was made.
func stopwatch() func() float64 {
	start := time.Now()
	return func() float64 { return time.Since(start).Seconds() }
}

// bar shows progress where a person watches.
func bar(steps int, what string) func() {
	if !term.IsTerminal(int(os.Stderr.Fd())) {
		return nil
	}
	b := progressbar.NewOptions(steps, progressbar.OptionSetWriter(os.Stderr), progressbar.OptionSetDescription(what), progressbar.OptionClearOnFinish())
	return func() { _ = b.Add(1) } // a bar that cannot be drawn is no reason to stop
}
