// Command brushfall turns a drawing into everything that a rhinestone transfer
// needs: templates, cut files, stone counts and a printed ticket. It holds the
// flags, the progress bar, the exit codes and the wiring; the work is job.Run's.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
