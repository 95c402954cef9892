package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"brushfall/internal/bench"
	"brushfall/internal/bench/shelf"
	"brushfall/internal/fault"
	"brushfall/internal/fit"
	"brushfall/internal/web"
)

const openHelp = `Open the workbench: the whole job in a browser window, from the drawing to the cut
files. Everything stays on this computer; nothing is loaded from elsewhere.

What you make is saved as you go, beside the shop's book. Ctrl-C ends the program;
the next time everything is where it was.

Only this computer can reach it. With --addr and an address of this computer in
the local network, such as 192.168.1.20:8080, or 0.0.0.0:8080 for all of them,
others can too, if they know the whole address that is printed.`

const openExamples = `  brushfall open
  brushfall open --no-browser --addr 127.0.0.1:8080
  brushfall open --addr 192.168.1.20:8080`

// openFlags holds the flags as they were typed.
type openFlags struct {
	addr, book string
	quiet      bool
}

// usualAddr is where the workbench is: the port is free on most machines, and the
// same each time, so that an address that was kept still leads to it.
const usualAddr = "127.0.0.1:7275"

func (a *app) openCommand() *cobra.Command {
	var f openFlags
	cmd := &cobra.Command{
		Use:     "open",
		Short:   "Open the workbench in a browser window",
		Long:    openHelp,
		Example: openExamples,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.open(cmd.Context(), f)
		},
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.addr, "addr", "", "`HOST:PORT` to listen at (default "+usualAddr+", or any free port)")
	fs.BoolVar(&f.quiet, "no-browser", false, "open no window; print the address alone")
	a.bookFlag(fs, &f.book)
	return cmd
}

// benchPath gives the folder of the designs: beside the book.
func benchPath(book string) string {
	path := bookPath(book)
	return strings.TrimSuffix(path, filepath.Ext(path)) + ".bench"
}

// opened is what the command tells: where the workbench is.
type opened struct {
	Address string `json:"address"`
	Bench   string `json:"bench"`
}

// open serves the workbench until the context ends.
func (a *app) open(ctx context.Context, f openFlags) error {
	dir := benchPath(f.book)
	b, err := shelf.Open(dir)
	if fault.CodeOf(err) == "bench-busy" {
		return a.join(ctx, dir, f)
	}
	if err != nil {
		return err
	}
	l, err := listenAt(f.addr)
	if err != nil {
		return errors.Join(err, b.Close())
	}
	token := ""
	if !loopback(l.Addr()) {
		token = rand.Text()
	}
	return errors.Join(a.serve(ctx, l, b, dir, token, f), b.Close())
}

// serve answers requests at a listener until the context ends.
func (a *app) serve(ctx context.Context, l net.Listener, b bench.Keeper, dir, token string, f openFlags) error {
	books := &openBook{path: f.book}
	defer books.close()
	server, err := web.New(web.Options{
		Version: version(), Bench: b, Samples: samples(), Token: token, Now: time.Now,
		Fits:     func() (fit.Book, error) { return readFits("", false) },
		KeepFits: keepFits, BookFile: books,
		Font: installedFont, Cutters: cutters{},
		Shop: books.open,
	})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer server.Close()
	at := opened{address(l.Addr(), token), dir}
	if token == "" {
		note := filepath.Join(dir, addressName)
		if err := os.WriteFile(note, []byte(at.Address), 0o600); err == nil {
			defer os.Remove(note)
		}
	}
	tell := func(w *bytes.Buffer) { fmt.Fprintf(w, "The workbench is at %s\nCtrl-C ends it.\n", at.Address) }
	if err := a.say(at, tell); err != nil {
		return errors.Join(err, l.Close())
	}
	h := &http.Server{Handler: server, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 32 << 10}
	ended := make(chan error, 1)
	go func() { ended <- h.Serve(l) }()
	if !f.quiet {
		a.browse(at.Address)
	}
	select {
	case err := <-ended:
		return fault.New("open", l.Addr().String(), "the workbench stopped: %v", err)
	case <-ctx.Done():
	}
	server.Close() // ends the streams, which would keep it open
	last, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	_ = h.Shutdown(last) // what still runs then is broken off
	_ = h.Close()
	if !a.json {
		fmt.Fprintln(a.err, "closed; everything is saved")
	}
	return nil
}
