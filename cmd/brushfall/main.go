// Command brushfall turns a drawing into everything that a rhinestone transfer
// needs: templates, cut files, stone counts and a printed ticket. It holds the
// flags, the progress bar, the exit codes and the wiring; the work is job.Run's.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

// collectAt is by how many per cent the heap may grow before the garbage is collected,
// unless GOGC says otherwise: laying stones makes much of it, and at 200 in place of 100
// takes about a tenth less time for a few dozen megabytes more.
const collectAt = 200

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(collectAt)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
